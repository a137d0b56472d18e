package demo

import (
	"math"

	"underkick/internal/body"
	"underkick/internal/demo/render"
	"underkick/internal/film"
	"underkick/internal/record"
	"underkick/internal/swim"
)

// take is the recipe of one clip.
type take struct {
	name           string
	swimmer, visit int
	kick           func() (swim.Kick, error)
	drag           float64 // the swimmer's drag factor in the model
	irr            irregularity
	w, h           int // px
	rate           film.Ratio
	trueFPS        float64 // 0 = as rate
	exposure       float64 // shutter time, s
	seconds        float64 // longest true duration; 0 = until the swimmer has left
	wide           float64 // width of the view in the swimmer's plane, m
	depth          float64 // of the hip at the middle of the picture, m
	climb          float64 // angle of the travel line, rad
	left, supine   bool
	place          scenery
	cam            render.Camera // X, Y, angles; Z and focal length follow from wide
	drift          bool
	uprights       bool // the rod has uprights: four points of a rectangle
	look           render.Look
	seed           uint64
	effort         record.Effort
	repeat         int
	marking        marking
	heads          bool // the crown of the head is marked too
	crf            int
	hard           bool // filmed badly; see harden
}

func good(row int, tempo float64) func() (swim.Kick, error) {
	return func() (swim.Kick, error) { return template(row, tempo), nil }
}

func flat(row int, tempo, angleDeg float64) func() (swim.Kick, error) {
	return func() (swim.Kick, error) { return flatFooted(template(row, tempo), angleDeg*deg), nil }
}

var (
	fair  = render.RGB{0.74, 0.47, 0.34}
	olive = render.RGB{0.58, 0.36, 0.24}
	brown = render.RGB{0.42, 0.22, 0.13}
	dark  = render.RGB{0.03, 0.04, 0.06}
	white = render.RGB{0.80, 0.80, 0.78}
	navy  = render.RGB{0.015, 0.025, 0.07}
)

// takes are all clips of the squad.
var takes = []take{
	{
		name: "mira-october", swimmer: mira, visit: october, kick: good(rowMira, 2.3), drag: 1.05, irr: irregularity{0.015, 0.025},
		w: 1280, h: 720, rate: film.Ratio{Num: 100, Den: 1}, exposure: 1.0 / 400, wide: 6.0, depth: 1.20, climb: 0.6 * deg,
		place: baths, cam: render.Camera{Y: -1.25}, seed: 101, effort: record.Race, repeat: 1, marking: marking{every: 3}, crf: 22,
		look: render.Look{Skin: fair, Suit: render.RGB{0.02, 0.02, 0.025}, Trim: render.RGB{0.55, 0.10, 0.30}, Cap: white, Lens: dark, Wears: render.KneeSuit},
	},
	{
		name: "joren-august", swimmer: joren, visit: august, kick: flat(rowJoren, 2.15, 10), drag: 1.0, irr: irregularity{0.018, 0.03},
		w: 1280, h: 720, rate: film.Ratio{Num: 60, Den: 1}, exposure: 1.0 / 250, wide: 6.2, depth: 1.15, climb: -0.5 * deg,
		place: baths, cam: render.Camera{Y: -1.2}, seed: 202, effort: record.Race, repeat: 1, marking: marking{every: 2}, crf: 22,
		look: render.Look{Skin: olive, Suit: navy, Trim: render.RGB{0.60, 0.07, 0.06}, Cap: render.RGB{0.70, 0.62, 0.05}, Lens: dark, Wears: render.Jammer},
	},
	{
		name: "joren-october-1", swimmer: joren, visit: october, kick: flat(rowJoren, 2.2, 5), drag: 1.0, irr: irregularity{0.018, 0.03},
		w: 1280, h: 720, rate: film.Ratio{Num: 60, Den: 1}, exposure: 1.0 / 250, wide: 6.2, depth: 1.10, climb: 0.3 * deg,
		place: baths, cam: render.Camera{Y: -1.2}, seed: 303, effort: record.Race, repeat: 1, marking: marking{every: 2}, crf: 22,
		look: render.Look{Skin: olive, Suit: navy, Trim: render.RGB{0.60, 0.07, 0.06}, Cap: render.RGB{0.70, 0.62, 0.05}, Lens: dark, Wears: render.Jammer},
	},
	{
		name: "joren-october-2", swimmer: joren, visit: october, kick: flat(rowJoren, 2.17, 5.5), drag: 1.0, irr: irregularity{0.018, 0.03},
		w: 1280, h: 720, rate: film.Ratio{Num: 60, Den: 1}, exposure: 1.0 / 250, wide: 6.2, depth: 1.25, climb: -0.4 * deg,
		place: baths, cam: render.Camera{Y: -1.2}, seed: 404, effort: record.Race, repeat: 2, marking: marking{perKick: 6}, crf: 22,
		look: render.Look{Skin: olive, Suit: navy, Trim: render.RGB{0.60, 0.07, 0.06}, Cap: render.RGB{0.70, 0.62, 0.05}, Lens: dark, Wears: render.Jammer},
	},
	{
		name: "bram-october", swimmer: bram, visit: october, kick: func() (swim.Kick, error) { return evenSpeed(template(rowBram, 2.15), 0.9) }, drag: 1.0, irr: irregularity{0.025, 0.04},
		w: 960, h: 540, rate: film.Ratio{Num: 30, Den: 1}, trueFPS: 240, exposure: 1.0 / 500, seconds: 2.35, wide: 5.4, depth: 1.15,
		place: baths, cam: render.Camera{Y: -1.2}, seed: 505, effort: record.Race, repeat: 1, marking: marking{every: 4}, crf: 23,
		look: render.Look{Skin: fair, Suit: render.RGB{0.05, 0.22, 0.10}, Trim: render.RGB{0.7, 0.7, 0.65}, Cap: render.RGB{0.06, 0.30, 0.14}, Lens: dark, Wears: render.Jammer},
	},
	{
		name: "edda-november", swimmer: edda, visit: november, kick: func() (swim.Kick, error) { return cutShort(template(rowEdda, 2.1), 7*deg, 10*deg) }, drag: 0.95, irr: irregularity{0.03, 0.045},
		w: 1280, h: 720, rate: film.Ratio{Num: 120, Den: 1}, exposure: 1.0 / 500, wide: 5.4, depth: 1.05, climb: 0.8 * deg,
		place: lido, cam: render.Camera{Y: -1.15, Yaw: 3 * deg, Pitch: -1.2 * deg, Roll: 0.8 * deg}, uprights: true, seed: 606, effort: record.Race, repeat: 1, marking: marking{every: 3}, heads: true, crf: 23,
		look: render.Look{Skin: brown, Suit: render.RGB{0.45, 0.04, 0.06}, Trim: white, Cap: render.RGB{0.55, 0.05, 0.06}, Lens: dark, Wears: render.OnePiece},
	},
	{
		name: "tessa-november", swimmer: tessa, visit: november, kick: good(rowTessa, 1.75), drag: 0.95, irr: irregularity{0.015, 0.025},
		w: 1920, h: 1080, rate: film.Ratio{Num: 60, Den: 1}, exposure: 1.0 / 320, wide: 6.0, depth: 1.25, supine: true, climb: 0.5 * deg,
		place: lido, cam: render.Camera{Y: -1.2}, seed: 707, effort: record.Race, repeat: 1, marking: marking{every: 2}, crf: 24,
		look: render.Look{Skin: fair, Suit: render.RGB{0.02, 0.07, 0.22}, Trim: render.RGB{0.65, 0.65, 0.15}, Cap: render.RGB{0.04, 0.10, 0.35}, Lens: dark, Wears: render.KneeSuit},
	},
	{
		name: "nilo-november", swimmer: nilo, visit: november, kick: good(rowNilo, 2.25), drag: 1.05, irr: irregularity{0.02, 0.03},
		w: 1280, h: 720, rate: film.Ratio{Num: 60, Den: 1}, exposure: 1.0 / 320, wide: 6.2, depth: 1.15, left: true, climb: 0.4 * deg,
		place: lido, cam: render.Camera{Y: -1.2}, drift: true, uprights: true, seed: 808, effort: record.Race, repeat: 1, marking: marking{every: 2}, heads: true, crf: 22,
		look: render.Look{Skin: olive, Suit: render.RGB{0.10, 0.10, 0.11}, Trim: render.RGB{0.05, 0.45, 0.55}, Cap: render.RGB{0.03, 0.03, 0.035}, Lens: render.RGB{0.3, 0.15, 0.03}, Wears: render.Jammer},
	},
}

func (k *take) fps() float64 {
	if k.trueFPS > 0 {
		return k.trueFPS
	}
	return k.rate.Float()
}

func (k *take) subject() body.Subject { return swimmers()[k.swimmer].Subject() }

// camera returns the camera at a time.
func (k *take) camera(t float64) render.Camera {
	c := k.cam
	c.Z = cameraDistance
	c.FocalPx = float64(k.w) / k.wide * cameraDistance
	if k.drift { // held by hand, under water
		c.X += 0.11*math.Sin(1.1*t+0.4) + 0.03*math.Sin(2.9*t)
		c.Y += 0.05*math.Sin(1.4*t+2.0) + 0.012*math.Sin(3.7*t+1)
		c.Z += 0.06 * math.Sin(0.8*t+1)
		c.Yaw += 0.7 * deg * math.Sin(0.9*t+2.5)
		c.Pitch += 0.3 * deg * math.Sin(1.2*t+0.7)
		c.Roll += 0.6 * deg * math.Sin(0.7*t+0.3)
	}
	return c
}

const cameraDistance = 8.0 // from the swimmer's plane, m

// frames returns how many frames the clip has.
func (k *take) frames(m *motion) int {
	reach := 0.713 * k.subject().Height // hip to finger tip, stretched
	seconds := (k.wide/2 + 0.2 - reach - m.x0) / (m.way * m.tempo)
	if k.seconds > 0 {
		seconds = math.Min(seconds, k.seconds)
	}
	return int(seconds * k.fps())
}

// motion returns the swimmer's motion, placed so that the feet come into the picture as
// the clip starts.
func (k *take) motion() (*motion, error) {
	kick, err := k.kick()
	if err != nil {
		return nil, err
	}
	m, err := newMotion(k.subject(), kick, k.drag, k.irr, k.seed)
	if err != nil {
		return nil, err
	}
	m.phase0 = math.Mod(float64(k.seed)*0.137, 1)
	m.climb = k.climb
	m.x0 = -k.wide/2 + 0.617*k.subject().Height - 0.12
	m.y0 = -k.depth + m.x0*math.Tan(k.climb)
	return m, nil
}

// toPool brings a point of the motion's plane into the scene.
func (k *take) toPool(x, y float64) (X, Y float64) {
	if k.left {
		x = -x
	}
	if k.supine {
		y = -2*k.depth - y
	}
	return x, y
}
