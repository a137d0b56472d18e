package render

import "underkick/internal/body"

// Scene is everything that is filmed.
type Scene struct {
	Width, Height int // px, even
	Seed          uint64
	Pool          Pool
	Water         Water
	Rod           Rod
	Rope          Rope
	Bubbles       []Bubble
	Swimmer       Swimmer
	Sensor        Sensor
	// Camera gives the camera at a time; Still says that it never moves.
	Camera func(t float64) Camera
	Still  bool
}

// Studio draws the frames of one scene. It may be used by several goroutines, each with
// its own Desk.
type Studio struct {
	scene *Scene
	waves []wave
	still *backdrop // what a camera that stands still sees
	dev   *developer
}

// NewStudio makes ready to draw a scene.
func NewStudio(s *Scene) *Studio {
	st := &Studio{scene: s, waves: waves(s.Water.Ripple, s.Seed), dev: newDeveloper(s.Sensor, s.Width, s.Height, s.Seed)}
	if s.Still {
		st.still = s.newBackdrop()
		st.still.fill(s, s.Camera(0).lens(s.Width, s.Height))
	}
	return st
}

func (s *Scene) newBackdrop() *backdrop {
	return &backdrop{w: s.Width, h: s.Height, spots: make([]spot, s.Width*s.Height)}
}

// Desk is the working memory of one goroutine.
type Desk struct {
	studio *Studio
	img    *picture
	light  *caustics
	moving *backdrop
	figure figure
	dev    developer
}

// NewDesk returns working memory for drawing frames.
func (st *Studio) NewDesk() *Desk {
	s := st.scene
	d := &Desk{studio: st, img: newPicture(s.Width, s.Height), light: newCaustics()}
	d.figure.outlines = bodyOutlines(s.Swimmer.Subject.Sex == body.Female)
	d.dev = *st.dev
	d.dev.luma = make([]float32, s.Width*s.Height)
	if !s.Still {
		d.moving = s.newBackdrop()
	}
	return d
}

// FrameBytes is the size of a frame in YUV 4:2:0.
func (s *Scene) FrameBytes() int { return s.Width * s.Height * 3 / 2 }

// patternDepth is the depth at which the pattern of light is drawn, m.
const patternDepth = 1.6

// Draw writes frame number n, taken at time t (s, middle of the exposure), as planes of
// YUV 4:2:0 (BT.709, 16 to 235) into dst of FrameBytes.
func (d *Desk) Draw(t float64, n int, dst []byte) {
	st, s := d.studio, d.studio.scene
	l := s.Camera(t).lens(s.Width, s.Height)
	d.light.fill(st.waves, t, patternDepth)
	back := st.still
	if back == nil {
		back = d.moving
		back.fill(s, l)
	}
	back.paint(d.img, s, d.light, st.waves, t)
	s.paintRope(d.img, &l, st.waves, t)
	s.paintBubbles(d.img, &l, t, false)
	d.figure.paint(d.img, s, &l, d.light, t)
	s.paintBubbles(d.img, &l, t, true)
	d.img.soften(s.Sensor.Soft)
	d.dev.bytes(d.img, n, s.Seed, dst)
}
