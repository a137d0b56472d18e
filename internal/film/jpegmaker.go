package film

import (
	"bytes"
	"image"
	"image/jpeg"
	"io"
)

// jpegQuality gives files of about the size of the native engine's.
const jpegQuality = 85

// jpegMaker converts and encodes raw pictures while the next ones are being
// decoded.
type jpegMaker struct {
	form outForm
	made chan chan jpegOrError
	quit chan struct{}
	last error
}

type jpegOrError struct {
	data []byte
	err  error
}

func newJPEGMaker(r io.Reader, form outForm) *jpegMaker {
	m := &jpegMaker{form: form, made: make(chan chan jpegOrError, 2), quit: make(chan struct{})}
	go m.read(r)
	return m
}

func (m *jpegMaker) read(r io.Reader) {
	defer close(m.made)
	for {
		img := image.NewYCbCr(image.Rect(0, 0, m.form.pipeW, m.form.pipeH), image.YCbCrSubsampleRatio420)
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
			err := jpeg.Encode(&buf, m.form.finishPicture(img), &jpeg.Options{Quality: jpegQuality})
			out <- jpegOrError{buf.Bytes(), err}
		}()
	}
}

// finishPicture brings a picture as stored to the wanted size and to the
// colours of JPEG files; others are so already.
func (o outForm) finishPicture(img *image.YCbCr) *image.YCbCr {
	if !o.stored {
		return img
	}
	if o.width != o.pipeW || o.height != o.pipeH {
		small := image.NewYCbCr(image.Rect(0, 0, o.width, o.height), image.YCbCrSubsampleRatio420)
		newShrinker(o.pipeW, o.pipeH, o.width, o.height).shrink(small.Y, img.Y)
		half := func(n int) int { return (n + 1) / 2 }
		chroma := newShrinker(half(o.pipeW), half(o.pipeH), half(o.width), half(o.height))
		chroma.shrink(small.Cb, img.Cb)
		chroma.shrink(small.Cr, img.Cr)
		img = small
	}
	o.colour.apply(img)
	return img
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
