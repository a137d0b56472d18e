package film

import (
	"context"
	"errors"
	"fmt"
	"io"
	"sort"
	"strconv"
)

// Overview calls fn with up to count small JPEG pictures spread over the whole
// clip, for choosing a stretch of a long one. Only whole pictures are decoded,
// so that an hour of film takes seconds. Each comes with the frame nearest to
// its time; it is a picture to find one's way by and not to mark on.
func (e *Engine) Overview(ctx context.Context, path string, width, count int, fn func(Picture) error) error {
	if count <= 0 {
		return nil
	}
	idx, id, err := e.survey(ctx, path)
	if err != nil {
		return err
	}
	d := &decoding{e: e, idx: idx, id: id, req: Request{Format: JPEG, Width: width}}
	out := d.picture()
	log := newFrameLog(nil)
	p, err := e.start(ctx, run{
		what: "look through " + idx.Info.Name, program: "ffmpeg", in: id.path, onLine: log.read,
		args: d.overviewArgs(out, idx.Info.Duration/float64(count), count),
	})
	if err != nil {
		return err
	}
	go func() { <-p.logDone; log.end() }()
	if err := d.overview(p, log, out, fn); err != nil {
		p.stop()
		if ctx.Err() != nil {
			return ctx.Err()
		}
		return err
	}
	if err := p.wait(); err != nil {
		return fmt.Errorf("look through %s: %w", idx.Info.Name, err)
	}
	return nil
}

// overviewArgs asks for whole pictures at least spacing seconds apart.
func (d *decoding) overviewArgs(out outForm, spacing float64, count int) []string {
	args := []string{"-hide_banner", "-nostdin", "-nostats", "-loglevel", "repeat+info"}
	args = append(args, safely...)
	chosen := fmt.Sprintf("select=isnan(prev_selected_t)+gte(t-prev_selected_t\\,%.4f)", spacing)
	args = append(args, "-skip_frame", "nokey", "-copyts", "-i", d.e.tool.url(d.id.path, false),
		"-map", "0:"+strconv.Itoa(d.idx.Info.stream), "-an", "-sn", "-dn",
		"-vf", chosen+",showinfo=checksum=0,"+out.filter(&d.idx.Info),
		"-fps_mode", "passthrough", "-frames:v", strconv.Itoa(count))
	return append(args, out.muxer()...)
}

func (d *decoding) overview(p *process, log *frameLog, out outForm, fn func(Picture) error) error {
	r := out.reader(p.stdout)
	defer r.stop()
	for k := 0; ; k++ {
		data, err := r.next()
		if errors.Is(err, io.EOF) {
			return nil // how the process ended is looked at next
		}
		if err != nil {
			return d.cutShort(p, err, k)
		}
		s, ok := log.wait(k, lineGrace)
		if !ok {
			return fmt.Errorf("picture %d came without its time", k)
		}
		_, clock, _ := log.all()
		pic := Picture{Frame: d.nearest(clock.seconds(s.pts)), Width: out.width, Height: out.height, Format: JPEG, Data: data}
		if err := fn(pic); err != nil {
			return err
		}
	}
}

// nearest returns the frame whose stored time is nearest to t s.
func (d *decoding) nearest(t float64) Frame {
	frames, base := d.idx.Frames, d.idx.Info.timeBase
	k := sort.Search(len(frames), func(k int) bool { return base.seconds(frames[k].PTS) >= t })
	if k == len(frames) || k > 0 && t-base.seconds(frames[k-1].PTS) < base.seconds(frames[k].PTS)-t {
		k--
	}
	return frames[k]
}
