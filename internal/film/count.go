package film

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// indexByDecoding makes the table of frames from the pictures that really
// come out, up to where the clock goes back or the size changes.
func (e *Engine) indexByDecoding(ctx context.Context, abs string, old *Index, progress func(done, total int)) (*Index, error) {
	x := &Index{Info: old.Info, header: old.header, read: old.read, linear: old.linear}
	x.Info.Warnings = append([]Warning(nil), old.Info.Warnings...)
	log := newFrameLog(nil)
	count := 0
	onLine := func(line string) {
		log.read(line)
		if n := log.passed; n != count { // this goroutine alone writes it
			count = n
			if progress != nil && count%30 == 0 {
				progress(count, max(count, old.Info.Frames))
			}
		}
	}
	args := []string{"-hide_banner", "-nostdin", "-nostats", "-loglevel", "repeat+info"}
	args = append(args, safely...)
	if n := e.tool.threads(); n > 0 {
		args = append(args, "-threads", strconv.Itoa(n))
	}
	args = append(args, "-copyts", "-i", e.tool.url(abs, false), "-map", "0:"+strconv.Itoa(x.Info.stream),
		"-an", "-sn", "-dn", "-vf", fieldFilter(&x.Info)+"showinfo=checksum=0",
		"-fps_mode", "passthrough", "-f", "null", "-")
	p, err := e.start(ctx, run{what: "decode the clip", program: "ffmpeg", in: abs, args: args, onLine: onLine})
	if err != nil {
		return nil, err
	}
	err = p.wait()
	pictures, clock, damage := log.all()
	var failed *processError
	if err != nil && !(errors.As(err, &failed) && len(pictures) >= 2) {
		return nil, err // with pictures at hand a failure at the end is damage, not refusal
	}
	if clock.Num > 0 {
		x.Info.timeBase = clock
	}
	x.takeShown(pictures)
	x.judgeDecoded(old, len(damage), err != nil)
	if len(x.Frames) < 2 {
		return nil, refuse(ErrTooFew, "only %d picture(s) of the file can be decoded; a film needs at least two. Copy the clip again from the camera.", len(x.Frames))
	}
	x.Info.Exact = true
	x.finish()
	return x, nil
}

// takeShown fills Frames from the log of a whole decoding.
func (x *Index) takeShown(pictures []shown) {
	x.Frames = nil
	for k, s := range pictures {
		if !s.hasPTS {
			continue
		}
		if k > 0 && (s.width != pictures[0].width || s.height != pictures[0].height) {
			x.Info.add(warn(WarnSizeChange, "The picture size changes from %d by %d to %d by %d after %d frames: several recordings were joined. Only the first one is used; cut the others into files of their own.",
				pictures[0].width, pictures[0].height, s.width, s.height, len(x.Frames)))
			return
		}
		if n := len(x.Frames); n > 0 && s.pts <= x.Frames[n-1].PTS {
			x.Info.add(jumpWarning)
			return
		}
		x.Frames = append(x.Frames, Frame{PTS: s.pts, Key: s.key})
	}
}

// judgeDecoded adds what the decoding showed.
func (x *Index) judgeDecoded(old *Index, damage int, failed bool) {
	info := &x.Info
	if failed {
		info.add(warn(WarnTruncated, "The film cannot be decoded to its end. The frames up to there are used. Copy it again from the camera if more is needed."))
	}
	if damage > 0 && !info.Has(WarnTruncated) && !info.Has(WarnClockJump) && !info.Has(WarnSizeChange) {
		info.add(warn(WarnDamaged, "Some pictures are damaged; the frames concerned are flagged. Do not mark on them. Copy the clip again from the camera."))
	}
	if info.Rotation%180 == 90 || info.FieldOrder != "" {
		return
	}
	if lost := old.Info.Frames - len(x.Frames); lost > 0 && info.Has(WarnMissingStart) {
		info.Warnings = replaceWarning(info.Warnings, warn(WarnMissingStart,
			"The film does not begin with a whole picture; its first %d frames cannot be seen and are left out.", lost))
	}
}

func replaceWarning(all []Warning, w Warning) []Warning {
	for k := range all {
		if all[k].Code == w.Code {
			all[k] = w
		}
	}
	return all
}

// settleFields finds out by looking at pictures which field of interlaced
// film was filmed first: what files say about it is often wrong, and the
// wrong order plays every second step backwards.
func (e *Engine) settleFields(ctx context.Context, abs string, info *Info) error {
	var tff, bff, whole int
	onLine := func(line string) {
		if _, rest, ok := strings.Cut(line, "Multi frame detection:"); ok {
			fields(rest, func(key, value string) {
				n, err := strconv.Atoi(value)
				switch {
				case err != nil:
				case key == "TFF":
					tff = n
				case key == "BFF":
					bff = n
				case key == "Progressive":
					whole = n
				}
			})
		}
	}
	args := append([]string{"-hide_banner", "-nostdin", "-nostats", "-loglevel", "info"}, safely...)
	args = append(args, "-i", e.tool.url(abs, false), "-map", "0:"+strconv.Itoa(info.stream), "-an", "-sn", "-dn",
		"-vf", "idet", "-frames:v", "60", "-f", "null", "-")
	p, err := e.start(ctx, run{what: "look at the fields", program: "ffmpeg", in: abs, args: args, onLine: onLine})
	if err != nil {
		return err
	}
	if err := p.wait(); err != nil {
		return fmt.Errorf("find the field order: %w", err)
	}
	switch {
	case whole > tff+bff:
		info.FieldOrder = ""
		info.add(warn(WarnInterlaced, "The file says it is interlaced but its pictures are whole; they are used as they are."))
		return nil
	case bff > tff:
		info.FieldOrder = "bff"
	default:
		info.FieldOrder = "tff"
	}
	info.add(warn(WarnInterlaced, "The film is interlaced: each picture holds two moments. Both are used, which doubles the frame rate; the pictures are a little softer. "+
		"Step through a few frames and check that the swimmer only moves forwards."))
	return nil
}
