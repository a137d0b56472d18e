package poolside

import (
	"fmt"
	"math"
	"slices"

	"underkick/internal/body"
	"underkick/internal/camera/filming"
	"underkick/internal/kick"
)

// ClipCheck is one thing about the filming that a result hangs on, and what it costs.
type ClipCheck struct {
	Code     string `json:"code"`     // fixed word for programs: "frame-rate", "toe-blur", "view", "scale", "kicks", "edges", "camera"
	Finding  string `json:"finding"`  // what was found, in words
	Cost     string `json:"cost"`     // what it costs; "" when nothing
	Doubtful bool   `json:"doubtful"` // it costs something
}

// Limits of the checks; those that withhold or flag measures are package kick's.
const (
	clickPx     = 2.0   // of a steady hand, per axis
	ankleM      = 0.015 // at the ankle moves the whole push of a kick by about a sixth in the swim model
	wantedKicks = 6
)

func check(code, finding, cost string) ClipCheck {
	return ClipCheck{Code: code, Finding: finding, Cost: cost, Doubtful: cost != ""}
}

// CheckFrameRate judges pictures per second of true time.
func CheckFrameRate(fps float64) ClipCheck {
	cost := ""
	switch {
	case fps < kick.SpeedRate*kick.RateTolerance:
		cost = "No speeds of toe or ankle and no build; no timing of peaks. Film with 50 or more."
	case fps < kick.TimingRate*kick.RateTolerance:
		cost = "No timing of peaks, and fast parts of the kick are flattened. Film with 50 or more."
	}
	return check("frame-rate", fmt.Sprintf("%.4g pictures per second", fps), cost)
}

// CheckKicks judges the whole kicks in view.
func CheckKicks(n int) ClipCheck {
	cost := ""
	switch {
	case n < kick.MinForVerdict:
		cost = "Measures without a verdict: three whole kicks are needed for one."
	case n < wantedKicks:
		cost = "Wider bands: six whole kicks, two or three runs, are better."
	}
	word := "whole kicks"
	if n == 1 {
		word = "whole kick"
	}
	return check("kicks", fmt.Sprintf("%d %s in view", n, word), cost)
}

// CheckScale judges how large the swimmer is in the picture: bodyPx from finger tip
// to toe, for a body of lengthM metres so.
func CheckScale(bodyPx, lengthM float64) ClipCheck {
	click := filming.Click(clickPx, bodyPx, lengthM)
	cost := ""
	if click > ankleM*2/3 {
		cost = fmt.Sprintf("A click is %.0f mm wide in the pool; at the ankle 15 mm move the whole push by a sixth. Film nearer or with more pixels.", 1000*click)
	}
	return check("scale", fmt.Sprintf("the body is %.0f px long, %.1f mm per px", bodyPx, 1000*lengthM/bodyPx), cost)
}

// CheckBlur judges how far the fastest toe smears. feet is that way in foot lengths
// with the shutter open for shutterS; where the shutter is not known (0) it is the most
// it can be at this frame rate.
func CheckBlur(feet, shutterS float64) ClipCheck {
	switch {
	case math.IsNaN(feet):
		return check("toe-blur", "the toe's speed is not known", "Blur cannot be judged.")
	case shutterS > 0 && feet > kick.MaxBlur:
		return check("toe-blur", fmt.Sprintf("the fastest toe smears over %.2f foot lengths", feet), "Facing is doubtful. Film with a shorter shutter time.")
	case shutterS > 0:
		return check("toe-blur", fmt.Sprintf("the fastest toe smears over %.2f foot lengths", feet), "")
	case feet > kick.MaxBlur:
		return check("toe-blur", fmt.Sprintf("the fastest toe smears over up to %.2f foot lengths; the shutter time is not known", feet),
			"Facing may be doubtful. Give the shutter time, or look whether the fastest foot is sharp.")
	}
	return check("toe-blur", fmt.Sprintf("the fastest toe smears over at most %.2f foot lengths", feet), "")
}

// CheckView judges how square the camera looks, angles in rad, NaN where not known.
func CheckView(c kick.Clip) ClipCheck {
	if math.IsNaN(c.Yaw) || math.IsNaN(c.Pitch) {
		return check("view", "how square the camera looks is not known", "Past 10 degrees speed, angles and amplitudes are off and nothing shows it. Four points of a rectangle tell and correct it.")
	}
	turn := max(c.Yaw, c.Pitch)
	deg := turn * 180 / math.Pi
	switch {
	case turn <= kick.MaxTurn:
		return check("view", "the camera looks square across the lane within 10 degrees", "")
	case c.PlaneCorrected:
		return check("view", fmt.Sprintf("the camera is turned by about %.0f degrees; the rectangle corrects it", deg), "What is out of the swimmer's plane is not corrected; its error is in the bands as far as it shows.")
	}
	return check("view", fmt.Sprintf("the camera is turned by about %.0f degrees", deg), "Speed, kick length, amplitudes and angles are doubtful.")
}

// Checks lists what this run's filming costs it.
func (m *Measured) Checks() []ClipCheck {
	out := []ClipCheck{
		CheckFrameRate(m.Result.FrameRate),
		CheckKicks(m.Result.Counted),
		CheckBlur(m.blurFeet, m.shutter),
		CheckView(m.clip),
	}
	if length := body.MeasuredLengths(m.motion).Sum(); length > 0 {
		t := m.motion.T[len(m.motion.T)/2]
		x, y := m.middle()
		if px := m.View.MetresPerPx(t, x, y); px > 0 {
			out = append(out, CheckScale(length/px, length))
		}
	}
	return out
}

// middle is where the hip is half-way through the run, px; NaN without a hip.
func (m *Measured) middle() (xPx, yPx float64) {
	hip := m.motion.Paths[body.Hip]
	if hip == nil {
		return math.NaN(), math.NaN()
	}
	i := len(m.motion.T) / 2
	return m.View.ToPicture(m.motion.T[i], hip.X[i], hip.Y[i])
}

// judgeFilming fills what is known of the filming from the traces and the view: how
// far the fastest toe smears, and how the camera is turned.
func (m *Measured) judgeFilming(clip kick.Clip, shutterS float64) kick.Clip {
	m.shutter = shutterS
	open := shutterS
	if open == 0 && clip.FrameRate > 0 {
		open = 1 / clip.FrameRate
	}
	m.blurFeet = m.toeBlur(open)
	if shutterS > 0 && !math.IsNaN(m.blurFeet) {
		clip.ToeBlur = m.blurFeet
	}
	clip.Yaw, clip.Pitch = math.NaN(), math.NaN()
	if x, y := m.middle(); !math.IsNaN(x) {
		clip.Yaw, clip.Pitch = m.View.Tilt(m.motion.T[len(m.motion.T)/2], x, y)
	}
	m.clip = clip
	if math.IsNaN(clip.Yaw) {
		clip.Yaw, clip.Pitch = 0, 0 // nothing is known against it
	}
	return clip
}

// toeBlur is how far the toe goes over the picture while the shutter is open, in foot
// lengths, in the fastest twentieth of the run; NaN where toe or ankle are missing.
func (m *Measured) toeBlur(open float64) float64 {
	px := m.pictureMotion()
	toe, ankle := px.Paths[body.Toe], px.Paths[body.Ankle]
	if toe == nil || ankle == nil || open <= 0 {
		return math.NaN()
	}
	var speeds, feet []float64
	for i := 1; i < len(px.T); i++ {
		v := math.Hypot(toe.X[i]-toe.X[i-1], toe.Y[i]-toe.Y[i-1]) / (px.T[i] - px.T[i-1])
		f := math.Hypot(toe.X[i]-ankle.X[i], toe.Y[i]-ankle.Y[i])
		if !math.IsNaN(v) && !math.IsNaN(f) {
			speeds, feet = append(speeds, v), append(feet, f)
		}
	}
	if len(speeds) < 10 {
		return math.NaN()
	}
	slices.Sort(speeds)
	slices.Sort(feet)
	return speeds[len(speeds)*19/20] * open / feet[len(feet)/2]
}
