package film

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"time"
)

// containers are the file formats that are read. The list keeps out
// playlists and scripts, which could make ffmpeg open other files.
const containers = "mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,avi,mpegts,mpeg,mxf,asf,flv"

// safely are the arguments before each input: no network, no scripts.
var safely = []string{"-protocol_whitelist", "file,pipe", "-format_whitelist", containers}

const probeTime = 5 * time.Minute

// Probe tells what the clip at path is, without decoding it (but for half a
// second of it when it is interlaced). The number of frames and the times it
// implies come from the file's packets and are final when Exact is set;
// Index settles them otherwise. Files that are no film are refused with an
// error wrapping ErrRefused.
func (e *Engine) Probe(ctx context.Context, path string) (Info, error) {
	idx, _, err := e.survey(ctx, path)
	if err != nil {
		return Info{}, err
	}
	return idx.Info, nil
}

// survey returns what is known of the clip without decoding all of it: the
// remembered index or a new one from the packets.
func (e *Engine) survey(ctx context.Context, path string) (*Index, fileID, error) {
	id, err := identify(path)
	if err != nil {
		return nil, id, err
	}
	if idx := e.recall(id); idx != nil {
		return idx, id, nil
	}
	ctx, cancel := context.WithTimeout(ctx, probeTime)
	defer cancel()
	a, notes, err := e.askProbe(ctx, id.path)
	if err != nil {
		return nil, id, err
	}
	idx, err := indexFromPackets(a, notes)
	if err != nil {
		return nil, id, fmt.Errorf("%s: %w", filepath.Base(path), err)
	}
	idx.Info.Name, idx.Info.Size = filepath.Base(path), id.size
	if idx.Info.FieldOrder != "" {
		if err := e.settleFields(ctx, id.path, &idx.Info); err != nil {
			return nil, id, err
		}
	}
	idx.finish()
	e.remember(id, idx)
	return idx, id, nil
}

// probeNotes is what the log of ffprobe said beside its answer.
type probeNotes struct {
	moov, format, partial, corrupt bool
}

func (n *probeNotes) read(line string) {
	n.moov = n.moov || strings.Contains(line, "moov atom not found")
	n.format = n.format || strings.Contains(line, "Format not on whitelist")
	n.partial = n.partial || strings.Contains(line, "partial file") || strings.Contains(line, "File ended prematurely")
	n.corrupt = n.corrupt || strings.Contains(line, "Packet corrupt")
}

// askProbe runs ffprobe over the whole file and reads its answer.
func (e *Engine) askProbe(ctx context.Context, abs string) (*probeAnswer, *probeNotes, error) {
	notes := &probeNotes{}
	args := append([]string{"-hide_banner", "-loglevel", "repeat+info"}, safely...)
	args = append(args, "-show_entries", probeEntries, "-of", "json=c=1", "-i", e.tool.url(abs, false))
	p, err := e.start(ctx, run{what: "look into the clip", program: "ffprobe", in: abs, args: args, onLine: notes.read})
	if err != nil {
		return nil, nil, err
	}
	a, readErr := readProbe(io.LimitReader(p.stdout, maxProbeJSON), maxPackets)
	if errors.Is(readErr, errTooManyPackets) {
		p.stop()
		return nil, nil, refuse(ErrTooLarge, "%s is longer than is read here (about two hours). Cut out the part with the swimmer.", filepath.Base(abs))
	}
	if err := p.wait(); err != nil {
		return nil, nil, explain(err, notes, abs)
	}
	if readErr != nil {
		return nil, nil, readErr
	}
	return a, notes, nil
}

// explain turns the failure of ffprobe into the refusal that it means.
func explain(err error, notes *probeNotes, abs string) error {
	var failed *processError
	if !errors.As(err, &failed) {
		return err // cancelled
	}
	name := filepath.Base(abs)
	switch {
	case notes.format:
		return refuse(ErrNotFilm, "%s is not a film file. Choose a film as the camera wrote it (MP4, MOV, MKV, AVI, WebM, MTS).", name)
	case notes.moov && startsLikeMP4(abs):
		return refuse(ErrUnfinished, "%s did not finish: its table of contents is missing, so no picture can be found. "+
			"The recording or the copying was cut off. Copy it again from the camera.", name)
	case strings.Contains(failed.tail, "Invalid data found"), strings.Contains(failed.tail, "End of file"):
		return refuse(ErrNotFilm, "%s is not a film that can be read, or it is damaged at its very beginning. "+
			"Try to play it; if it plays, copy it again from the camera.", name)
	}
	return err
}

// seconds returns the time of n units of r, s.
func (r Ratio) seconds(n int64) float64 {
	return float64(n) * float64(r.Num) / float64(r.Den)
}
