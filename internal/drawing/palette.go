package drawing

import "fmt"

// Colour is a colour of the sRGB space; A is its opacity, 255 = solid, and does
// not multiply the others.
type Colour struct{ R, G, B, A uint8 }

// Hex writes the colour without its opacity, such as "#f4f6f5".
func (c Colour) Hex() string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// The four colours that are drawn on film. Lines are pale with a dark casing
// below, so that one of the two stands out from any water; facing and speed are
// orange and sky blue of the set of M. Okabe and K. Ito (Color Universal Design,
// 2002/2008). The style sheet of the pages holds the same for the marking page;
// tests hold both together and check contrast and colour-blind vision.
var (
	pale   = Colour{0xf4, 0xf6, 0xf5, 0xff}
	dark   = Colour{0x10, 0x20, 0x1c, 0xff}
	orange = Colour{0xe6, 0x9f, 0x00, 0xff}
	blue   = Colour{0x56, 0xb4, 0xe9, 0xff}
)

var palette = map[Role]Colour{
	Casing: dark.withOpacity(0xd9),
	Body:   pale,
	Halo:   pale.withOpacity(0xcc),
	Travel: pale,
	Hatch:  orange,
	Path:   pale,
	Speed:  blue,
	Lead:   pale,
	Label:  pale,
}

func (c Colour) withOpacity(a uint8) Colour {
	c.A = a
	return c
}

// Colour returns what a role looks like. It panics for a role that is none.
func (r Role) Colour() Colour {
	c, ok := palette[r]
	if !ok {
		panic(fmt.Sprintf("drawing: role %q has no colour", string(r)))
	}
	return c
}
