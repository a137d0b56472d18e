package marker

import "underkick/internal/body"

// What is assumed of a marker of whom nothing is known. The offset of 8 mm and the
// floor of 4 mm are this project's (docs/methods/kick-measures.md), on a swimmer of
// 1.80 m; the click noise of 0.3 % is 2 px on a body of 720 px. The weight of what
// is assumed is common practice, no source: it counts as eight differences seen.
const (
	usualBody     = body.ArmsUp * 1.80 // m
	DefaultOffset = 0.008 / usualBody
	DefaultSpread = 0.003
	LeastOffset   = 0.004 / usualBody // until frames were marked again in later sittings
	weight        = 8
)

// laterNeeded is how many differences from later sittings lift LeastOffset. Below
// ten degrees of freedom a standard deviation is known to a quarter at best.
const laterNeeded = 10
