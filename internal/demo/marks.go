package demo

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"
	"math/rand/v2"

	"underkick/internal/body"
	"underkick/internal/table"
)

// marking says on which frames the careful coach marked: every so many frames, or so
// many per kick, staggered from kick to kick.
type marking struct {
	every   int
	perKick int
}

// Standard error of a click per axis, px: the coach's own for each landmark, at a
// picture 1280 px wide. Invented from the 2 px of a steady hand; tips and edges are
// easier, the hip under the suit is harder.
var clickSD = [body.NumLandmarks]float64{
	body.Fingertip: 1.4, body.Wrist: 1.8, body.Shoulder: 1.9, body.Hip: 2.1, body.Knee: 1.7,
	body.Ankle: 1.6, body.Heel: 1.6, body.Toe: 1.4,
}

// crownSD is that of the crown of the head, which is marked on the clip with heads alone:
// so film of a swimmer can be shown with the face softened and nothing else.
const crownSD = 2.2

// marker is who marked the demo clips.
const marker = "R. Alder"

// marked returns the frames to mark within the run.
func (k *take) marked(t *Truth) []int {
	first, last := t.InView[0], t.InView[1]
	var out []int
	if k.marking.every > 0 {
		for f := first; f <= last; f += k.marking.every {
			out = append(out, f)
		}
		return out
	}
	// so many per kick, evenly over the phase, moved on by the golden share of a gap in
	// each kick, so that all kicks together see every phase
	period := k.fps() / t.Model.Tempo
	gap := period / float64(k.marking.perKick)
	seen := -1
	for n := 0; ; n++ {
		kick := n / k.marking.perKick
		shift := math.Mod(float64(kick)*0.618, 1)
		f := first + int(math.Round(float64(kick)*period+(float64(n%k.marking.perKick)+shift)*gap))
		if f > last {
			return out
		}
		if f > seen {
			out = append(out, f)
			seen = f
		}
	}
}

// marks returns the marks of a coach with a steady hand on a clip, as a marks file.
func (k *take) marks(t *Truth, filmBytes []byte) ([]byte, error) {
	rng := rand.New(rand.NewPCG(k.seed, 41))
	sum := sha256.Sum256(filmBytes)
	tab := &table.Table{
		HasFrame: true, HasTime: true, Who: marker, Plane: t.Plane,
		Clip: table.Clip{Name: t.Clip, SHA256: hex.EncodeToString(sum[:])},
		Run:  &table.Run{FirstFrame: t.InView[0], LastFrame: t.InView[1]},
	}
	scale := float64(k.w) / 1280
	for _, f := range k.marked(t) {
		for l, sd := range clickSD {
			dx, dy := rng.NormFloat64(), rng.NormFloat64()
			if k.heads && body.Landmark(l) == body.Head {
				sd = crownSD
			}
			if sd == 0 {
				continue
			}
			p := t.Landmarks[body.Landmark(l).String()][f]
			q := [2]float64{round(p[0]+dx*sd*scale, 10), round(p[1]+dy*sd*scale, 10)}
			if k.inPicture(q) {
				tab.Marks = append(tab.Marks, body.Mark{Frame: f, Time: t.Times[f], Landmark: body.Landmark(l), X: q[0], Y: q[1]})
			}
		}
	}
	var out bytes.Buffer
	if err := table.WriteMarks(&out, tab); err != nil {
		return nil, fmt.Errorf("marks of %s: %w", k.name, err)
	}
	return out.Bytes(), nil
}
