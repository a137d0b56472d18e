package film

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"strconv"
	"time"
)

// Format is the form in which Decode hands over pictures.
type Format int

// The formats.
const (
	// Luma is one byte a pixel, row by row without padding: the film's own
	// luma samples (see Picture.FullRange).
	Luma Format = iota
	// JPEG is a baseline JPEG file in sRGB-like colour, for screens.
	JPEG
)

// Request says which pictures Decode is to give. The zero value is the whole
// clip in luma at full size.
type Request struct {
	From, To int // frames From to To-1; To = 0 is the end of the clip
	Format   Format
	Width    int // width of the pictures in px, at most the clip's; 0 = full
}

// Picture is one decoded frame. Data belongs to Decode and is overwritten
// after the call it was handed to.
type Picture struct {
	Frame
	Width, Height int // px
	Format        Format
	Data          []byte
	// FullRange says how luma is coded: black to white is 0 to 255 when set,
	// else 16 to 235. It is the same for all pictures of a clip.
	FullRange bool
}

// Report is what Decode learned beside the pictures.
type Report struct {
	Pictures int
	// Damaged are stretches of frames of which some pictures are not as they
	// were filmed, by the decoder's own messages. They are too wide rather
	// than too narrow: damage lasts until the next whole picture, and the
	// decoder's messages come a few frames early.
	Damaged []Stretch
}

// Stretch is the frames From to To-1.
type Stretch struct{ From, To int }

// Decode calls fn for each picture of the range in order, from the calling
// goroutine, while the film is being decoded. The picture of frame N is the
// one shown at the time that Index gives for N: decoding starts at the
// beginning of the clip, or for a later stretch of a long clip at a whole
// picture before it, and the times of all pictures are checked against the
// index. It ends with fn's error when that is not nil, with the context's
// error when ctx ends, and with ErrIndexChanged when the clip turns out to
// have other frames than its index (call Index again and repeat).
func (e *Engine) Decode(ctx context.Context, path string, req Request, fn func(Picture) error) (Report, error) {
	idx, err := e.Index(ctx, path, nil)
	if err != nil {
		return Report{}, err
	}
	id, err := identify(path)
	if err != nil {
		return Report{}, err
	}
	if req.From, req.To, err = checkRange(idx.Frames, req.From, req.To); err != nil {
		return Report{}, err
	}
	d := &decoding{e: e, idx: idx, id: id, req: req, fn: fn}
	inner, cancel := context.WithTimeout(ctx, patience(req.To))
	defer cancel()
	rep, err := d.run(inner)
	return rep, outOfPatience(ctx, err, idx.Info.Name)
}

// farAhead is the number of frames before a stretch above which decoding
// starts at a key near it rather than at the beginning.
const farAhead = 240

// decoding is one call of Decode.
type decoding struct {
	e    *Engine
	idx  *Index
	id   fileID
	req  Request
	fn   func(Picture) error
	done int // pictures handed over
	// grace is how long the line about a picture may come after the picture:
	// the two pipes are read by two goroutines. 0 is lineGrace.
	grace time.Duration
}

// errOtherStart: the pictures after seeking were not those wanted; nothing was
// handed over yet, so an earlier start may be tried.
var errOtherStart = errors.New("seek missed")

// run tries the starts from the nearest to the beginning.
func (d *decoding) run(ctx context.Context) (Report, error) {
	for _, key := range d.starts() {
		rep, err := d.from(ctx, key)
		if errors.Is(err, errOtherStart) && d.done == 0 {
			d.e.log.Debug("seek missed", "clip", d.idx.Info.Name, "key", key)
			continue
		}
		if errors.Is(err, ErrIndexChanged) {
			d.e.distrust(d.id, d.idx)
		}
		return rep, err
	}
	panic("film: the last start is the beginning, which cannot miss")
}

// starts lists the frames to start from: the last key at or before the
// stretch, the one before that, and always the beginning (-1).
func (d *decoding) starts() []int {
	var keys []int
	if d.req.From > farAhead && d.idx.Info.FieldOrder == "" && !d.idx.linear.Load() {
		for k := d.req.From; k >= 0 && len(keys) < 2; k-- {
			if d.idx.Frames[k].Key {
				keys = append(keys, k)
			}
		}
	}
	return append(keys, -1)
}

// from decodes from the key frame (-1: the beginning of the clip).
func (d *decoding) from(ctx context.Context, key int) (Report, error) {
	out := d.picture()
	log := newFrameLog(nil)
	if key >= 0 {
		first := d.idx.Frames[d.req.From].PTS
		seen := false
		log.keep = func(s shown) bool {
			// The first picture after a seek must be coded on its own; where
			// it is not, the file's key flags mean something else and what is
			// decoded from them is wrong until refreshed.
			if !seen && !s.intra {
				d.idx.linear.Store(true)
			}
			seen = true
			return s.hasPTS && s.pts >= first
		}
	}
	p, err := d.e.start(ctx, run{
		what: "decode " + d.idx.Info.Name, program: "ffmpeg", in: d.id.path,
		args: d.args(key, out), onLine: log.read,
	})
	if err != nil {
		return Report{}, err
	}
	go func() { <-p.logDone; log.end() }()
	readErr := d.pictures(p, log, key, out)
	if readErr != nil {
		p.stop()
		if ctx.Err() != nil {
			return Report{Pictures: d.done}, ctx.Err()
		}
		return Report{Pictures: d.done}, readErr
	}
	p.stop() // all wanted pictures are here
	_, _, damage := log.all()
	return Report{Pictures: d.done, Damaged: d.damaged(damage, key)}, ctx.Err()
}

// args builds the command: all pictures are shown in the log, those before
// the stretch are dropped before any further work.
func (d *decoding) args(key int, out outForm) []string {
	info := &d.idx.Info
	args := []string{"-hide_banner", "-nostdin", "-nostats", "-loglevel", "repeat+info"}
	args = append(args, safely...)
	if n := d.e.tool.threads(); n > 0 {
		args = append(args, "-threads", strconv.Itoa(n))
	}
	chosen := fmt.Sprintf("select=gte(n\\,%d)", d.req.From)
	if key >= 0 {
		at := info.timeBase.seconds(d.idx.Frames[key].PTS) - info.start + 0.0005
		args = append(args, "-noaccurate_seek", "-ss", strconv.FormatFloat(at, 'f', 6, 64))
		chosen = fmt.Sprintf("select=gte(pts\\,%d)", d.idx.Frames[d.req.From].PTS)
	}
	args = append(args, "-copyts", "-i", d.e.tool.url(d.id.path, false),
		"-map", "0:"+strconv.Itoa(info.stream), "-an", "-sn", "-dn",
		"-vf", fieldFilter(info)+"showinfo=checksum=0,"+chosen+","+out.filter(info),
		"-fps_mode", "passthrough", "-frames:v", strconv.Itoa(d.req.To-d.req.From), "-flush_packets", "1")
	return append(args, out.muxer()...)
}

// fieldFilter makes each field of interlaced film a picture, in the measured order.
func fieldFilter(info *Info) string {
	if info.FieldOrder == "" {
		return ""
	}
	return "bwdif=mode=send_field:deint=all:parity=" + info.FieldOrder + ","
}

// pictures reads the pictures, checks each against the index and hands it over.
func (d *decoding) pictures(p *process, log *frameLog, key int, out outForm) error {
	r := out.reader(p.stdout)
	defer r.stop()
	skip := 0
	if key < 0 {
		skip = d.req.From
		for k := range skip {
			if err := d.check(log, k, k, key, 0); err != nil {
				return err
			}
		}
	}
	for k := d.req.From; k < d.req.To; k++ {
		// The picture first, then its line, which was written before it: to
		// wait for a line that never comes while the process waits for us to
		// take a picture would last for ever.
		data, readErr := r.next()
		grace := cmp.Or(d.grace, lineGrace)
		if readErr != nil {
			grace = 0 // until the log ends
		}
		if err := d.check(log, skip+k-d.req.From, k, key, grace); err != nil {
			return err
		}
		if readErr != nil {
			return d.cutShort(p, readErr, k)
		}
		pic := Picture{
			Frame: d.idx.Frames[k], Width: out.width, Height: out.height, Format: out.format,
			Data: data, FullRange: out.full,
		}
		if err := d.fn(pic); err != nil {
			return err
		}
		d.done++
	}
	return nil
}
