package film

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// Codec is what EncodeTimed writes.
type Codec string

// The codecs. H264 is the zero value.
const (
	H264  Codec = ""      // in an MP4 file that starts to play before it is loaded
	VP8   Codec = "vp8"   // in a WebM file
	MJPEG Codec = "mjpeg" // in an AVI file
)

// Ext returns the ending of the files of a codec, such as ".mp4".
func (c Codec) Ext() string {
	switch c {
	case VP8:
		return ".webm"
	case MJPEG:
		return ".avi"
	}
	return ".mp4"
}

// MediaType returns the media type of the files of a codec.
func (c Codec) MediaType() string {
	switch c {
	case VP8:
		return "video/webm"
	case MJPEG:
		return "video/x-msvideo"
	}
	return "video/mp4"
}

// Encoder is the best way in which an engine can write film.
type Encoder struct {
	Codec    Codec
	Preset   string // for TimedRequest
	MaxWidth int    // px; wider pictures would take too long
	Words    string // what is made, and why it is slow or not what would be best
}

// Largest width of a film made by each engine, px. The embedded encoder makes
// about 30 pictures of 960 by 540 a second of one processor's time with its fastest
// preset (12 with the next one, for a luma that is 0.7 dB better and a file that is a
// quarter smaller; both are better than what the native engine's preset gives).
const (
	nativeWidth   = 1920
	embeddedWidth = 960
)

// errNoEncoder: the engine writes no film at all.
var errNoEncoder = errors.New("this ffmpeg can write neither H.264 nor VP8 nor Motion JPEG; install a complete one")

// Encoder finds out, by making a small film, which encoder the engine has. The
// answer is remembered.
func (e *Engine) Encoder(ctx context.Context) (Encoder, error) {
	e.encoderMu.Lock()
	defer e.encoderMu.Unlock()
	if e.encoder != nil {
		return *e.encoder, nil
	}
	var errs []error
	for _, c := range []Codec{H264, VP8, MJPEG} {
		err := e.tryCodec(ctx, c)
		if ctx.Err() != nil {
			return Encoder{}, ctx.Err()
		}
		if err == nil {
			found := e.describe(c)
			e.encoder = &found
			return found, nil
		}
		e.log.Info("encoder not used", "what", string(c), "reason", err)
		errs = append(errs, err)
	}
	return Encoder{}, fmt.Errorf("%w: %w", errNoEncoder, errors.Join(errs...))
}

// tryCodec makes a film of three grey pictures and reads it back.
func (e *Engine) tryCodec(ctx context.Context, c Codec) error {
	dir, err := os.MkdirTemp("", "underkick-film-")
	if err != nil {
		return fmt.Errorf("try the encoder: %w", err)
	}
	defer func() { _ = os.RemoveAll(dir) }() // a scratch folder; the system clears it in the end
	path := filepath.Join(dir, "try"+c.Ext())
	req := TimedRequest{Width: 64, Height: 64, Times: []float64{0, 0.1, 0.2}, End: 0.3, Codec: c}
	err = e.EncodeTimed(ctx, req, path, func(k int, frame []byte) error {
		for i := range frame {
			frame[i] = 128
		}
		return nil
	})
	if err != nil {
		return err
	}
	info, err := e.Probe(ctx, path)
	if err == nil && info.Frames != 3 {
		err = fmt.Errorf("try the encoder: %d of 3 pictures were written", info.Frames)
	}
	return err
}

// describe says what the engine makes with a codec that it has.
func (e *Engine) describe(c Codec) Encoder {
	enc := Encoder{Codec: c, Preset: "veryfast", MaxWidth: nativeWidth, Words: "MP4 with H.264, which plays everywhere."}
	switch c {
	case VP8:
		enc.Words = "WebM with VP8, because this ffmpeg has no H.264 encoder. Browsers play it; some phones do not. Times are rounded to a millisecond."
	case MJPEG:
		enc.Words = "AVI with Motion JPEG, because this ffmpeg has neither an H.264 nor a VP8 encoder. Browsers do not play it; most players on a computer do. Pictures are shown in equal steps."
	}
	if e.Slow() {
		enc.Preset, enc.MaxWidth = "ultrafast", embeddedWidth
		enc.Words += fmt.Sprintf(" It is made by the built-in engine, which writes some ten to thirty pictures a second and at most %d px wide; ffmpeg, installed on this computer, is several times faster.", embeddedWidth)
	}
	return enc
}
