package poolside

import (
	"fmt"
	"math"

	"underkick/internal/body"
	"underkick/internal/record"
	"underkick/internal/trace"
)

// NextView is the one frame that the marking page asks for.
type NextView struct {
	Frame     int      `json:"frame"`
	Landmarks []string `json:"landmarks"`        // to mark on it, in marking order
	Others    []int    `json:"others,omitempty"` // frames to turn to when it cannot be marked, best first
	Why       string   `json:"why"`
}

// MeterView tells how near the marks are to good enough for each group of
// measures, 0 to 1.
type MeterView struct {
	Speed  float64 `json:"speed"`
	Sweep  float64 `json:"sweep"`
	Build  float64 `json:"build"`
	Facing float64 `json:"facing"`
	Level  int     `json:"level"`  // 1: enough for speed, tempo and sweep; 2: for all four
	Enough string  `json:"enough"` // the same in words, "" before level 1
}

// advise fills in the meter and the next frame.
func (v *MarksView) advise(in chainInput, tr traced, facts record.Facts) {
	if tr.fit == nil && tr.motion.T != nil {
		v.Meter = meterOf(allMarked(tr.motion))
		return
	}
	marks, err := toPlane(in.Marks, tr.view)
	if err != nil {
		return // said already where the traces are made
	}
	advice := trace.Advise(in.Times, marks, tr.fit, trace.AdviseOptions{InView: func(t, x, y float64) bool {
		xPx, yPx := tr.view.ToPicture(t, x, y)
		return !facts.Outside(body.Mark{X: xPx, Y: yPx})
	}})
	v.Meter = meterOf(advice.Good)
	if ask := advice.Ask; ask != nil {
		v.Next = nextView(ask, in)
		v.Next.Why = why(ask, advice, marks)
	}
}

// allMarked is how good a run is of which every frame is marked: as good as the hand.
func allMarked(m body.Motion) trace.Good {
	var e trace.Errors
	for l, p := range m.Paths {
		if p == nil {
			e.Landmarks[l] = math.Inf(1)
		}
	}
	if !m.Has(body.Ankle) || !m.Has(body.Toe) {
		e.Foot = math.Inf(1)
	}
	return e.Good()
}

func meterOf(g trace.Good) MeterView {
	m := MeterView{Speed: hundredth(g.Speed), Sweep: hundredth(g.Sweep), Build: hundredth(g.Build), Facing: hundredth(g.Facing), Level: g.Level()}
	switch m.Level {
	case 1:
		m.Enough = "Enough for speed, tempo and sweep. Toe and ankle are left."
	case 2:
		m.Enough = "Enough for speed, sweep, build and facing."
	}
	return m
}

// hundredth rounds down, so that only what is reached reads as full.
func hundredth(x float64) float64 { return math.Floor(100*x) / 100 }

func nextView(ask *trace.Ask, in chainInput) *NextView {
	next := &NextView{Frame: in.Frames[ask.Frame]}
	for _, f := range ask.Others {
		next.Others = append(next.Others, in.Frames[f])
	}
	for _, g := range landmarkGuide {
		for _, l := range ask.Landmarks {
			if l == g.l {
				next.Landmarks = append(next.Landmarks, l.String())
			}
		}
	}
	return next
}

// why says in a sentence why a frame is asked for.
func why(ask *trace.Ask, a trace.Advice, marks []body.Mark) string {
	switch ask.Why {
	case trace.First:
		return firstFrames(ask, marks)
	case trace.Tempo:
		return "Two lengths of the kick fit the marks. This frame tells them apart."
	case trace.Fine:
		if a.Good.Facing >= 1 {
			return "The toe is least sure around this frame, and build needs it more exactly."
		}
		return fmt.Sprintf("The foot's direction is known to %.0f°; facing needs 3°. This frame helps most.", math.Ceil(a.Errors.Foot*180/math.Pi))
	case trace.Spare:
		return "There is enough. Mark on only for narrower bands; this frame helps most."
	}
	if a.Good.Sweep < a.Good.Speed {
		return "Sweep is not sure enough yet; this frame helps most."
	}
	return "Speed is not sure enough yet; this frame helps most."
}

// firstFrames counts the frames that are missing before the others can be filled.
func firstFrames(ask *trace.Ask, marks []body.Mark) string {
	counts := map[body.Landmark]int{}
	for _, m := range marks {
		counts[m.Landmark]++
	}
	missing := 0
	for _, l := range ask.Landmarks {
		missing = max(missing, trace.Fewest-counts[l])
	}
	switch {
	case missing <= 0:
		return "These marks do not fill the frames between yet. This frame lies in the widest gap."
	case missing == 1:
		return "One more frame like this, then the frames between are filled."
	}
	return fmt.Sprintf("%d more frames, spread over the kicks, then the frames between are filled.", missing)
}
