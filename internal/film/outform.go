package film

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"io"
	"math"
	"strconv"
	"strings"
)

// outForm is how pictures leave the process and become a Picture.
type outForm struct {
	format        Format
	width, height int
	scaled        bool
	full          bool // luma spans 0-255
	encodeHere    bool // JPEG by us from raw pictures, not by the process
}

// picture chooses the form for a request.
func (d *decoding) picture() outForm {
	info := &d.idx.Info
	o := outForm{format: d.req.Format, width: info.Width, height: info.Height, full: info.full}
	if w := d.req.Width; w > 0 && w < info.Width {
		o.width = w
		o.height = max(1, int(math.Round(float64(info.Height)*float64(w)/float64(info.Width))))
	}
	o.scaled = o.width != info.Width || info.PixelAspect != 1
	// The embedded engine's JPEG encoder is slower than ours, which also has
	// a processor core of its own.
	o.encodeHere = o.format == JPEG && d.e.tool.slow()
	return o
}

// filter is the last part of the filter chain.
//
// Luma is taken out of planar pictures as it is; deeper ones are brought to
// 8 bits first, keeping the range. For screens, colour becomes that of JPEG
// files (full range, BT.601 matrix), which is what browsers assume.
func (o outForm) filter(info *Info) string {
	size := fmt.Sprintf("scale=%d:%d:flags=bilinear", o.width, o.height)
	switch {
	case o.format == JPEG:
		return size + ":out_color_matrix=bt601:out_range=pc,format=yuvj420p,setsar=1"
	case strings.HasPrefix(info.PixelFormat, "rgb"), strings.HasPrefix(info.PixelFormat, "bgr"),
		strings.HasPrefix(info.PixelFormat, "gbr"), strings.HasPrefix(info.PixelFormat, "gray"),
		strings.HasPrefix(info.PixelFormat, "pal"), strings.HasPrefix(info.PixelFormat, "mono"):
		return size + ",format=gray,setsar=1"
	}
	f := "extractplanes=y,"
	if !eightBitPlanar(info.PixelFormat) {
		f = "format=" + eightBitForm(info) + ",extractplanes=y,"
	}
	if o.scaled {
		f += size + ","
	}
	return f + "setsar=1"
}

func eightBitPlanar(pixelFormat string) bool {
	switch strings.TrimPrefix(strings.TrimPrefix(pixelFormat, "yuva"), "yuvj") {
	case "420p", "422p", "444p", "440p", "411p", "410p":
		return true
	}
	switch pixelFormat {
	case "yuv420p", "yuv422p", "yuv444p", "yuv440p", "yuv411p", "yuv410p":
		return true
	}
	return false
}

// eightBitForm is the 8-bit planar format that keeps the luma range.
func eightBitForm(info *Info) string {
	if info.full {
		return "yuvj420p"
	}
	return "yuv420p"
}

// muxer is the end of the command.
func (o outForm) muxer() []string {
	if o.format == JPEG && !o.encodeHere {
		return []string{"-c:v", "mjpeg", "-q:v", "4", "-f", "mpjpeg", "pipe:1"}
	}
	return []string{"-c:v", "rawvideo", "-f", "rawvideo", "pipe:1"}
}

// pictureReader gives the data of one picture after the other.
type pictureReader interface {
	next() ([]byte, error) // valid until the call after
	stop()
}

func (o outForm) reader(r io.Reader) pictureReader {
	switch {
	case o.encodeHere:
		return newJPEGMaker(r, o.width, o.height)
	case o.format == JPEG:
		return &partReader{r: bufio.NewReaderSize(r, 256<<10)}
	}
	return &rawReader{r, make([]byte, o.width*o.height)}
}

// rawReader reads pictures of equal size that follow each other.
type rawReader struct {
	r   io.Reader
	buf []byte
}

func (r *rawReader) next() ([]byte, error) {
	_, err := io.ReadFull(r.r, r.buf)
	return r.buf, err
}

func (r *rawReader) stop() {}

// partReader reads the parts of a MIME multipart stream (RFC 2046), each with
// its length in the head, as ffmpeg's mpjpeg muxer writes them.
type partReader struct {
	r   *bufio.Reader
	buf []byte
}

const maxPart = 64 << 20

func (p *partReader) next() ([]byte, error) {
	length := -1
	for length < 0 {
		line, err := p.r.ReadSlice('\n')
		if err != nil {
			return nil, err
		}
		if v, ok := bytes.CutPrefix(bytes.ToLower(line), []byte("content-length:")); ok {
			if length, err = strconv.Atoi(string(bytes.TrimSpace(v))); err != nil || length < 0 || length > maxPart {
				return nil, errors.New("picture of impossible length")
			}
		}
	}
	for { // to the blank line after the head
		line, err := p.r.ReadSlice('\n')
		if err != nil {
			return nil, err
		}
		if len(bytes.TrimSpace(line)) == 0 {
			break
		}
	}
	if cap(p.buf) < length {
		p.buf = make([]byte, length*5/4)
	}
	p.buf = p.buf[:length]
	_, err := io.ReadFull(p.r, p.buf)
	return p.buf, err
}

func (p *partReader) stop() {}

// jpegQuality gives files of about the size of the native engine's.
const jpegQuality = 85

// jpegMaker encodes raw pictures while the next ones are being decoded.
type jpegMaker struct {
	made chan chan jpegOrError
	quit chan struct{}
	last error
}

type jpegOrError struct {
	data []byte
	err  error
}

func newJPEGMaker(r io.Reader, w, h int) *jpegMaker {
	m := &jpegMaker{made: make(chan chan jpegOrError, 2), quit: make(chan struct{})}
	go m.read(r, w, h)
	return m
}

func (m *jpegMaker) read(r io.Reader, w, h int) {
	defer close(m.made)
	for {
		img := image.NewYCbCr(image.Rect(0, 0, w, h), image.YCbCrSubsampleRatio420)
		err := readPlanes(r, img)
		out := make(chan jpegOrError, 1)
		select {
		case m.made <- out:
		case <-m.quit:
			return
		}
		if err != nil {
			out <- jpegOrError{nil, err}
			return
		}
		go func() {
			var buf bytes.Buffer
			err := jpeg.Encode(&buf, img, &jpeg.Options{Quality: jpegQuality})
			out <- jpegOrError{buf.Bytes(), err}
		}()
	}
}

// readPlanes reads the three planes of a 4:2:0 picture.
func readPlanes(r io.Reader, img *image.YCbCr) error {
	for _, plane := range [][]byte{img.Y, img.Cb, img.Cr} {
		if _, err := io.ReadFull(r, plane); err != nil {
			return err
		}
	}
	return nil
}

func (m *jpegMaker) next() ([]byte, error) {
	if m.last != nil {
		return nil, m.last
	}
	out, ok := <-m.made
	if !ok {
		return nil, io.EOF
	}
	j := <-out
	m.last = j.err
	return j.data, j.err
}

func (m *jpegMaker) stop() { close(m.quit) }
