package render

import "math"

// vec is a place or direction in the pool, or a colour.
type vec struct{ x, y, z float64 }

func (a vec) add(b vec) vec            { return vec{a.x + b.x, a.y + b.y, a.z + b.z} }
func (a vec) sub(b vec) vec            { return vec{a.x - b.x, a.y - b.y, a.z - b.z} }
func (a vec) scale(k float64) vec      { return vec{k * a.x, k * a.y, k * a.z} }
func (a vec) times(b vec) vec          { return vec{a.x * b.x, a.y * b.y, a.z * b.z} }
func (a vec) dot(b vec) float64        { return a.x*b.x + a.y*b.y + a.z*b.z }
func (a vec) mix(b vec, u float64) vec { return a.scale(1 - u).add(b.scale(u)) }

func (a vec) unit() vec {
	l := math.Sqrt(a.dot(a))
	if l == 0 {
		return a
	}
	return a.scale(1 / l)
}

func (a vec) cross(b vec) vec {
	return vec{a.y*b.z - a.z*b.y, a.z*b.x - a.x*b.z, a.x*b.y - a.y*b.x}
}

func clamp(x, lo, hi float64) float64 { return math.Max(lo, math.Min(hi, x)) }

// smooth rises from 0 at a to 1 at b without corners.
func smooth(a, b, x float64) float64 {
	u := clamp((x-a)/(b-a), 0, 1)
	return u * u * (3 - 2*u)
}

// hash returns a number in [0, 1) that looks random but depends only on its arguments.
func hash(a, b int, seed uint64) float64 {
	h := seed ^ uint64(int64(a))*0x9e3779b97f4a7c15 ^ uint64(int64(b))*0xc2b2ae3d27d4eb4f
	h ^= h >> 31
	h *= 0x94d049bb133111eb
	h ^= h >> 29
	h *= 0xbf58476d1ce4e5b9
	h ^= h >> 32
	return float64(h>>11) / (1 << 53)
}
