// Package burn puts drawings onto pictures, pixel by pixel.
package burn

import (
	_ "golang.org/x/image/draw"
	_ "golang.org/x/image/font/gofont/goregular"
	_ "golang.org/x/image/font/opentype"
	_ "golang.org/x/image/vector"
)
