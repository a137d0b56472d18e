package film

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"sync/atomic"
	"time"
)

// Frame is one shown picture of a clip.
type Frame struct {
	N    int     // number, from 0 in the order of showing
	PTS  int64   // presentation time as stored, in units of Info.TimeBase
	Time float64 // presentation time, s; 0 for the first frame
	Key  bool    // a picture from which decoding can start
}

// Index is the table of the shown frames of a clip, in order.
type Index struct {
	Info   Info
	Frames []Frame
	header int          // frames the header counts, hidden ones included; 0 = not said
	read   int          // packets found
	linear *atomic.Bool // only decoding from the beginning gives right pictures
}

// Index returns the exact table of the clip's shown frames. It is taken from
// the file's packets where these can be trusted to be the shown frames (about
// 0.1 s a minute of film), else by decoding the whole clip once, with
// progress calls (done and an estimate of the total, in frames; progress may
// be nil). The result must not be changed.
func (e *Engine) Index(ctx context.Context, path string, progress func(done, total int)) (*Index, error) {
	idx, id, err := e.survey(ctx, path)
	if err != nil {
		return nil, err
	}
	if idx.Info.Exact {
		return idx, nil
	}
	inner, cancel := context.WithTimeout(ctx, patience(idx.Info.Frames))
	defer cancel()
	exact, err := e.indexByDecoding(inner, id.path, idx, progress)
	if err != nil {
		err = outOfPatience(ctx, err, idx.Info.Name)
		return nil, fmt.Errorf("count the frames of %s: %w", idx.Info.Name, err)
	}
	e.remember(id, exact)
	return exact, nil
}

// distrust makes the next Index of the file decode it.
func (e *Engine) distrust(id fileID, idx *Index) {
	c := *idx
	c.Info.Exact = false
	e.remember(id, &c)
}

// plainCodecs are those of which each packet is one shown picture. VP8 and
// VP9 may carry packets that show nothing.
var plainCodecs = []string{"h264", "hevc", "av1", "mjpeg", "prores", "dnxhd", "mpeg4", "mpeg2video"}

// indexFromPackets makes the table that the packets promise, and decides
// whether the promise can be trusted.
func indexFromPackets(a *probeAnswer, notes *probeNotes) (*Index, error) {
	s, videos := mainVideo(a.streams)
	if s == nil {
		return nil, refuse(ErrNoVideo, "the file holds no moving picture (sound only, or sound with a cover picture). Choose the film itself.")
	}
	info, err := describe(a, s)
	if err != nil {
		return nil, err
	}
	if videos > 1 {
		info.add(warn(WarnTwoVideos, "The file has %d video tracks. The largest picture (%d by %d) is used.", videos, s.Width, s.Height))
	}
	packets := a.packets[s.Index]
	if len(packets) < 2 {
		return nil, refuse(ErrTooFew, "the file holds %d picture(s); a film needs at least two. Choose the film, not a photo.", len(packets))
	}
	idx := &Index{Info: *info, read: len(packets), linear: new(atomic.Bool)}
	idx.header = int(leadingFloat(s.NbFrames))
	if interlaced(s.FieldOrder) {
		idx.Info.FieldOrder = "tff" // until measured
	}
	jump := idx.takePackets(packets)
	idx.judge(packets, notes, jump)
	idx.checkHeader(s, &a.format)
	return idx, nil
}

func interlaced(fieldOrder string) bool {
	return slices.Contains([]string{"tt", "bb", "tb", "bt"}, fieldOrder)
}

// takePackets fills Frames with the shown packets in order of showing, up to
// where the clock goes back; it reports whether it does.
func (x *Index) takePackets(packets []packet) (jump bool) {
	for k, p := range packets {
		if k > 0 && p.hasDTS && packets[k-1].hasDTS && p.dts < packets[k-1].dts {
			jump = true
			break
		}
		if p.hasPTS && !p.hidden {
			x.Frames = append(x.Frames, Frame{PTS: p.pts, Key: p.key})
		}
	}
	slices.SortStableFunc(x.Frames, func(a, b Frame) int { return cmp.Compare(a.PTS, b.PTS) })
	return jump
}

// judge sets Exact when the packets are sure to be the shown frames: a codec
// of one picture a packet, whole pictures, a first packet to start from and
// nothing shown before it, a time on each, none damaged.
func (x *Index) judge(packets []packet, notes *probeNotes, jump bool) {
	info := &x.Info
	info.Exact = slices.Contains(plainCodecs, info.Codec) && info.FieldOrder == "" &&
		packets[0].key && !jump && !notes.partial && !notes.corrupt && len(x.Frames) >= 2
	hidden := 0
	for _, p := range packets {
		// Pictures shown before the first key depend on what came before it
		// (open groups after a cut): the decoder may leave them out.
		leading := !p.hidden && p.pts < packets[0].pts
		if !p.hasPTS || p.broken || leading {
			info.Exact = false
		}
		if p.hidden {
			hidden++
		}
	}
	for k := 1; k < len(x.Frames); k++ {
		if x.Frames[k].PTS == x.Frames[k-1].PTS {
			info.Exact = false
		}
	}
	if hidden > 0 {
		info.add(warn(WarnHidden, "The file hides %d frames by an edit list (it was trimmed without being written anew). Only the shown frames are used.", hidden))
	}
	if !packets[0].key {
		info.add(warn(WarnMissingStart, "The film does not begin with a whole picture: it was cut or the recording was joined late. The frames before the first whole picture are lost."))
	}
	if jump {
		info.add(jumpWarning)
	}
	if notes.partial {
		info.add(warn(WarnTruncated, "The file ends in the middle of a picture: the recording or the copying was cut off. The frames up to there are used. Copy it again from the camera if more is needed."))
	}
}

var jumpWarning = warn(WarnClockJump, "The film's clock goes back: several recordings were joined. Only the first one is used; cut the others into files of their own.")

// checkHeader compares what the header claims with what is there.
func (x *Index) checkHeader(s *probeStream, format *probeFormat) {
	// An edit list may leave samples out of the reading altogether, so a count
	// alone proves nothing; the track's length then agrees with what is there.
	length := leadingFloat(s.Duration)
	if n := len(x.Frames); n > 1 && x.header > x.read+1 {
		span := x.Info.timeBase.seconds(x.Frames[n-1].PTS - x.Frames[0].PTS)
		if length > span*float64(n+1)/float64(n-1) {
			x.Info.add(warn(WarnTruncated, "The file should hold %d frames but ends after %d: the recording or the copying was cut off. The frames up to there are used. Copy it again from the camera if more is needed.", x.header, x.read))
			x.Info.Exact = false
		}
	}
	claimed := max(length, leadingFloat(format.Duration))
	if n := len(x.Frames); n > 1 {
		real := x.Info.timeBase.seconds(x.Frames[n-1].PTS - x.Frames[0].PTS)
		if claimed > 2*real+2 {
			x.Info.add(warn(WarnHeader, "The file says it lasts %s but holds %s of film. The film itself is used.",
				seconds(claimed), seconds(real)))
		}
	}
}

func seconds(s float64) time.Duration {
	return time.Duration(s * float64(time.Second)).Round(100 * time.Millisecond)
}

// leadingFloat reads a number of the probe; 0 for "N/A" and the like, which
// means that it does not say.
func leadingFloat(s string) float64 {
	f, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(f) || f < 0 || f > 1e12 {
		return 0
	}
	return f
}
