package film

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// outForm is how pictures leave the process and become a Picture.
type outForm struct {
	format        Format
	width, height int
	pipeW, pipeH  int  // size in which pictures come from the process
	scaled        bool // by the process
	full          bool // luma spans 0-255
	encodeHere    bool // JPEG by us from raw pictures, not by the process
	stored        bool // with encodeHere: pictures come as stored, for us to convert
	colour        recolour
}

// picture chooses the form for a request.
func (d *decoding) picture() outForm {
	info := &d.idx.Info
	o := outForm{format: d.req.Format, width: info.Width, height: info.Height, full: info.full}
	if w := d.req.Width; w > 0 && w < info.Width {
		o.width = w
		o.height = max(1, int(math.Round(float64(info.Height)*float64(w)/float64(info.Width))))
	}
	// Luma is made smaller here: the engines' own scaling is not the same to
	// the last bit, and slow in the embedded one.
	o.pipeW, o.pipeH = o.width, o.height
	if o.format == Luma && info.PixelAspect == 1 {
		o.pipeW, o.pipeH = info.Width, info.Height
	}
	// The embedded engine converts and encodes more slowly than we do, and we
	// have a processor core of our own.
	if o.format == JPEG && d.e.tool.slow() {
		o.encodeHere = true
		if strings.TrimPrefix(info.PixelFormat, "yuvj") == "420p" || info.PixelFormat == "yuv420p" {
			o.stored = info.PixelAspect == 1
		}
		if o.stored {
			o.pipeW, o.pipeH = info.Width, info.Height
			o.colour = newRecolour(info.matrix, info.full)
		}
	}
	o.scaled = o.pipeW != info.Width || info.PixelAspect != 1
	return o
}

// filter is the last part of the filter chain.
//
// Luma is taken out of planar pictures as it is; deeper ones are brought to
// 8 bits first, keeping the range. For screens, colour becomes that of JPEG
// files (full range, BT.601 matrix), which is what browsers assume.
func (o outForm) filter(info *Info) string {
	size := fmt.Sprintf("scale=%d:%d:flags=bilinear", o.pipeW, o.pipeH)
	switch {
	case o.stored:
		return "setsar=1"
	case o.format == JPEG:
		return size + ":out_color_matrix=bt601:out_range=pc,format=yuvj420p,setsar=1"
	case !isYUV(info.PixelFormat):
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

// isYUV reports whether a pixel format has luma of its own; the others have
// colours or a palette, and their grey spans 0-255.
func isYUV(pixelFormat string) bool {
	for _, p := range []string{"yuv", "yuyv", "yvyu", "uyvy", "nv", "p0", "p2", "p4", "y2"} {
		if strings.HasPrefix(pixelFormat, p) {
			return true
		}
	}
	return false
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
		return newJPEGMaker(r, o)
	case o.format == JPEG:
		return &partReader{r: bufio.NewReaderSize(r, 256<<10)}
	}
	return newRawReader(r, o)
}

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
