package network

import (
	"encoding/binary"
	"math"
)

// fbTable is a table in a FlatBuffers file: a position with a list of where
// its fields lie. The format is open (FlatBuffers, "Internals" page of its
// documentation). Reading outside the file panics; parse turns that into an
// error.
type fbTable struct {
	b   []byte
	pos int
}

func fbRoot(b []byte) fbTable { return fbTable{b, int(binary.LittleEndian.Uint32(b))} }

// at returns the position of field i, 0 when it has its default value.
func (t fbTable) at(i int) int {
	list := t.pos - int(int32(binary.LittleEndian.Uint32(t.b[t.pos:])))
	if 4+2*i >= int(binary.LittleEndian.Uint16(t.b[list:])) {
		return 0
	}
	if off := int(binary.LittleEndian.Uint16(t.b[list+4+2*i:])); off != 0 {
		return t.pos + off
	}
	return 0
}

func (t fbTable) byteField(i int) int {
	if p := t.at(i); p != 0 {
		return int(int8(t.b[p]))
	}
	return 0
}

func (t fbTable) int32Field(i int) int {
	if p := t.at(i); p != 0 {
		return int(int32(binary.LittleEndian.Uint32(t.b[p:])))
	}
	return 0
}

// jump follows the offset at p.
func (t fbTable) jump(p int) int { return p + int(binary.LittleEndian.Uint32(t.b[p:])) }

// vector returns where the vector of field i begins and how many elements it has.
func (t fbTable) vector(i int) (start, n int) {
	p := t.at(i)
	if p == 0 {
		return 0, 0
	}
	p = t.jump(p)
	return p + 4, int(binary.LittleEndian.Uint32(t.b[p:]))
}

func (t fbTable) table(i int) fbTable {
	p := t.at(i)
	if p == 0 {
		return fbTable{}
	}
	return fbTable{t.b, t.jump(p)}
}

func (t fbTable) tables(i int) []fbTable {
	start, n := t.vector(i)
	out := make([]fbTable, n)
	for k := range out {
		out[k] = fbTable{t.b, t.jump(start + 4*k)}
	}
	return out
}

func (t fbTable) ints(i int) []int {
	start, n := t.vector(i)
	out := make([]int, n)
	for k := range out {
		out[k] = int(int32(binary.LittleEndian.Uint32(t.b[start+4*k:])))
	}
	return out
}

func (t fbTable) bytes(i int) []byte {
	start, n := t.vector(i)
	return t.b[start : start+n]
}

// halfFloat returns the value of an IEEE 754 half-precision number.
func halfFloat(h uint16) float32 {
	sign, exp, frac := uint32(h>>15), uint32(h>>10)&31, uint32(h)&1023
	switch exp {
	case 0: // zero and subnormal: frac * 2^-24
		v := float32(frac) / (1 << 24)
		if sign != 0 {
			v = -v
		}
		return v
	case 31:
		return math.Float32frombits(sign<<31 | 0xff<<23 | frac<<13)
	}
	return math.Float32frombits(sign<<31 | (exp+112)<<23 | frac<<13)
}
