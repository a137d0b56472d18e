package marker

import (
	"math"
	"slices"

	"underkick/internal/body"
)

// BodyLength returns the streamlined length from finger tip to toe in the unit of
// the marks: the marked stretch of the body, each segment by its median over the
// frames, against the same stretch of a body of usual proportions. 0 when no two
// neighbouring landmarks are marked on one frame.
func BodyLength(marks []body.Mark) float64 {
	usual := body.Subject{Height: 1}.Lengths()
	var marked, same float64
	for g, length := range body.MeasuredLengths(motion(marks)) {
		if length > 0 {
			marked, same = marked+length, same+usual[g]
		}
	}
	if marked == 0 {
		return 0
	}
	return body.ArmsUp * marked / same
}

// motion gathers marks by frame.
func motion(marks []body.Mark) body.Motion {
	var frames []int
	for _, m := range marks {
		frames = append(frames, m.Frame)
	}
	slices.Sort(frames)
	frames = slices.Compact(frames)
	out := body.Motion{T: make([]float64, len(frames))}
	for _, m := range marks {
		i, _ := slices.BinarySearch(frames, m.Frame)
		p := out.Paths[m.Landmark]
		if p == nil {
			p = &body.Path{X: missing(len(frames)), Y: missing(len(frames))}
			out.Paths[m.Landmark] = p
		}
		p.X[i], p.Y[i] = m.X, m.Y
	}
	return out
}

func missing(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = math.NaN()
	}
	return out
}
