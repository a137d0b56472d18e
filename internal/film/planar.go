package film

import (
	"fmt"
	"image"
)

// Planar writes a picture into frame as YUV420P says: three planes, video range,
// BT.709 (ITU-R BT.709-6, items 3.2 to 3.4: luma 0.2126 R + 0.7152 G + 0.0722 B).
// Opacity is ignored. It panics unless the sides of img are even and frame has
// three bytes for every two pixels.
func Planar(frame []byte, img *image.RGBA) {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	if w%2 != 0 || h%2 != 0 || len(frame) != YUV420P.bytes(w, h) {
		panic(fmt.Sprintf("film: %d bytes for a picture of %d by %d", len(frame), w, h))
	}
	luma, cb, cr := frame[:w*h], frame[w*h:w*h*5/4], frame[w*h*5/4:]
	for y := 0; y < h; y += 2 {
		for below := range 2 {
			row := img.Pix[(y+below)*img.Stride:][:4*w]
			out := luma[(y+below)*w:][:w]
			for x := range out {
				p := row[4*x : 4*x+3 : 4*x+3]
				out[x] = byte((int32(p[0])*11966 + int32(p[1])*40254 + int32(p[2])*4064 + 16<<16 + 1<<15) >> 16)
			}
		}
		upper, lower := img.Pix[y*img.Stride:][:4*w], img.Pix[(y+1)*img.Stride:][:4*w]
		at := y / 2 * (w / 2)
		for x := range w / 2 {
			a, b := upper[8*x:8*x+8:8*x+8], lower[8*x:8*x+8:8*x+8]
			r := int32(a[0]) + int32(a[4]) + int32(b[0]) + int32(b[4])
			g := int32(a[1]) + int32(a[5]) + int32(b[1]) + int32(b[5])
			bl := int32(a[2]) + int32(a[6]) + int32(b[2]) + int32(b[6])
			cb[at+x] = byte((-6596*r - 22189*g + 28785*bl + 128<<18 + 1<<17) >> 18)
			cr[at+x] = byte((28785*r - 26145*g - 2640*bl + 128<<18 + 1<<17) >> 18)
		}
	}
}
