package film

import (
	"io"
	"os"
)

// startsLikeMP4 reports whether the file begins with a box that films of the
// MP4 and QuickTime family begin with (ISO/IEC 14496-12). It tells a
// recording that was cut off from a file that never was a film, which ffprobe
// reports with the same words.
func startsLikeMP4(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer func() { _ = f.Close() }() // read only
	var head [8]byte
	if _, err := io.ReadFull(f, head[:]); err != nil {
		return false
	}
	switch string(head[4:]) {
	case "ftyp", "moov", "mdat", "wide", "free", "skip", "pnot":
		return true
	}
	return false
}
