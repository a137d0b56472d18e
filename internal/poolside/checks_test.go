package poolside

import (
	"math"
	"strings"
	"testing"

	"underkick/internal/body"
	"underkick/internal/camera"
	"underkick/internal/kick"
)

// The limits of the measures' design: 50 and 25 pictures per second, half a foot of
// blur, ten degrees, three and six kicks.
func TestChecksSayWhatTheFilmingCosts(t *testing.T) {
	deg := math.Pi / 180
	for _, c := range []struct {
		got  ClipCheck
		cost string // "" = none
	}{
		{CheckFrameRate(60), ""},
		{CheckFrameRate(49.95), ""},
		{CheckFrameRate(30), "timing of peaks"},
		{CheckFrameRate(20), "speeds of toe"},
		{CheckKicks(2), "without a verdict"},
		{CheckKicks(5), "six whole kicks"},
		{CheckKicks(6), ""},
		{CheckBlur(0.6, 1.0/60), "Facing is doubtful"},
		{CheckBlur(0.4, 1.0/60), ""},
		{CheckBlur(0.6, 0), "Give the shutter time"},
		{CheckBlur(0.4, 0), ""},
		{CheckBlur(math.NaN(), 0), "cannot be judged"},
		{CheckView(kick.Clip{Yaw: 9 * deg}), ""},
		{CheckView(kick.Clip{Yaw: 15 * deg}), "are doubtful"},
		{CheckView(kick.Clip{Yaw: 15 * deg, PlaneCorrected: true}), "not corrected"},
		{CheckView(kick.Clip{Yaw: math.NaN(), Pitch: math.NaN()}), "rectangle"},
		{CheckScale(725, 2.4), ""},
		{CheckScale(300, 2.4), "16 mm wide"},
	} {
		if c.got.Doubtful != (c.cost != "") || !strings.Contains(c.got.Cost, c.cost) {
			t.Errorf("%+v, want a cost with %q", c.got, c.cost)
		}
	}
}

// A toe that goes round at a known speed smears over speed times shutter.
func TestToeBlurIsSpeedTimesShutter(t *testing.T) {
	const rate, speed, foot = 100.0, 4.0, 0.2 // Hz, m/s, m
	m := &Measured{View: camera.FromScale(0.004)}
	toe, ankle := &body.Path{}, &body.Path{}
	for i := range 200 {
		at := float64(i) / rate
		m.motion.T = append(m.motion.T, at)
		x, y := 2+0.3*math.Cos(speed/0.3*at), -1+0.3*math.Sin(speed/0.3*at)
		toe.X, toe.Y = append(toe.X, x), append(toe.Y, y)
		ankle.X, ankle.Y = append(ankle.X, x+foot), append(ankle.Y, y)
	}
	m.motion.Paths[body.Toe], m.motion.Paths[body.Ankle] = toe, ankle
	clip := m.judgeFilming(kick.Clip{FrameRate: rate}, 1.0/50)
	if want := speed / 50 / foot; math.Abs(clip.ToeBlur/want-1) > 0.01 {
		t.Errorf("blur %.4f feet, want %.4f", clip.ToeBlur, want)
	}
	if clip = m.judgeFilming(kick.Clip{FrameRate: rate}, 0); clip.ToeBlur != 0 {
		t.Error("without a shutter time the blur is known")
	}
	if want := speed / rate / foot; math.Abs(m.blurFeet/want-1) > 0.01 {
		t.Errorf("at most %.4f feet, want %.4f", m.blurFeet, want)
	}
}
