package poolside

import (
	"fmt"
	"math"

	"underkick/internal/camera/filming"
	"underkick/internal/kick"
)

// FilmingCard is what a set-up sees of a swimmer, before anything is filmed.
type FilmingCard struct {
	Input FilmingInput `json:"input"` // completed

	FieldAirDeg   float64 `json:"field_in_air_deg"`
	FieldWaterDeg float64 `json:"field_in_water_deg"`
	WidthM        float64 `json:"width_m"`  // seen in the swimmer's plane
	HeightM       float64 `json:"height_m"` // of the whole picture, floor and surface aside
	MMPerPx       float64 `json:"mm_per_px"`
	BodyM         float64 `json:"body_m"` // finger tip to toe
	BodyPx        float64 `json:"body_px"`
	FootPx        float64 `json:"foot_px"`
	WayM          float64 `json:"way_m"` // with the whole body in the picture
	KicksLeast    int     `json:"kicks_least"`
	KicksMost     int     `json:"kicks_most"`
	SecondsInView float64 `json:"seconds_in_view"`
	ShutterS      float64 `json:"shutter_s"`
	ToeSpeed      float64 `json:"toe_speed_m_s"` // the fastest
	BlurM         float64 `json:"blur_m"`
	BlurFeet      float64 `json:"blur_feet"` // in foot lengths
	TimingS       float64 `json:"timing_s"`  // the toe's peak lies within so much, either way
	TimingShare   float64 `json:"timing_share"`
	NearerRel     float64 `json:"nearer_rel"`  // error of lengths, the swimmer 0.3 m nearer
	FartherRel    float64 `json:"farther_rel"` // and farther
	EdgeRel       float64 `json:"edge_rel"`    // lengths at the picture's sides against its middle
	TurnDeg       float64 `json:"turn_deg"`    // the camera looks up (positive) or down
	Known         bool    `json:"shutter_known"`

	Checks []ClipCheck `json:"checks"`
}

// offLane is how far off the lane's middle a swimmer is taken to stray, m.
const offLane = 0.3

// PlanFilming works out the card of a set-up. The error holds record.Faults where the
// input cannot be.
func PlanFilming(in FilmingInput) (FilmingCard, error) {
	if err := in.Validate(); err != nil {
		return FilmingCard{}, err
	}
	in = in.Complete()
	if err := in.Validate(); err != nil {
		return FilmingCard{}, err
	}
	return in.film(1).card(), nil
}

func (f filmed) card() FilmingCard {
	const degree = math.Pi / 180
	in, v := f.in, f.view
	body := f.swimmer.Subject.ArmsUpLength()
	c := FilmingCard{
		Input: in, FieldAirDeg: f.setup.Field / degree, FieldWaterDeg: v.FieldInWater / degree,
		WidthM: v.Width, HeightM: v.Height, MMPerPx: 1000 / v.PxPerM,
		BodyM: body, BodyPx: body * v.PxPerM, FootPx: f.footLength() * v.PxPerM,
		WayM: v.Way(body), ShutterS: f.shutter, ToeSpeed: f.toeSpeed(), Known: in.ShutterS > 0,
		NearerRel: f.setup.Closer(min(offLane, in.DistanceM/2)), FartherRel: f.setup.Closer(-offLane), EdgeRel: v.EdgeStretch,
		TurnDeg: f.setup.Turn(in.CameraDepthM, in.SwimmerDepthM) / degree,
	}
	c.KicksLeast, c.KicksMost = filming.Kicks(f.way)
	c.SecondsInView = c.WayM / in.SpeedMPS
	c.BlurM = c.ToeSpeed * f.shutter
	c.BlurFeet = filming.Blur(c.ToeSpeed, f.shutter, f.footLength())
	c.TimingS, c.TimingShare = filming.Timing(in.FPS, in.TempoHz)
	c.Checks = f.checks(c)
	return c
}

// checks are the clip's checks, before there is a clip.
func (f filmed) checks(c FilmingCard) []ClipCheck {
	out := []ClipCheck{CheckFrameRate(f.in.FPS), checkKickRange(c.KicksLeast, c.KicksMost)}
	if c.WayM == 0 {
		out[1] = check("kicks", fmt.Sprintf("the swimmer, %.2f m from finger tip to toe, does not fit into %.2f m", c.BodyM, c.WidthM), "Nothing can be measured. Film from farther away or with a wider lens.")
	}
	out = append(out, CheckBlur(c.BlurFeet, f.shutter), f.checkTurn(c), CheckScale(c.BodyPx, c.BodyM))
	if c.EdgeRel > mostStretch {
		out = append(out, check("edges", fmt.Sprintf("lengths at the picture's sides look %.0f %% larger than in its middle", 100*c.EdgeRel),
			"Speed reads too high over a long way. Keep to the middle of the picture, or mark a straight line of the pool when the scale is set."))
	}
	return out
}

// mostStretch of the picture's sides that costs nothing worth a word: half of it is in
// lengths on average, and that is within the error of a scale.
const mostStretch = 0.03

// checkKickRange judges whole kicks of which the number hangs on where the first begins.
func checkKickRange(least, most int) ClipCheck {
	c := CheckKicks(least)
	if most > least {
		c.Finding = fmt.Sprintf("%d or %d whole kicks in view, as the first begins", least, most)
	}
	return c
}

func (f filmed) checkTurn(c FilmingCard) ClipCheck {
	turn := math.Abs(c.TurnDeg)
	if turn*math.Pi/180 <= kick.MaxTurn {
		return check("view", fmt.Sprintf("the camera looks up or down by %.0f degrees", turn), "")
	}
	return check("view", fmt.Sprintf("the camera looks up or down by %.0f degrees", turn), "Amplitudes and angles are doubtful. Hold the camera at the swimmer's depth.")
}
