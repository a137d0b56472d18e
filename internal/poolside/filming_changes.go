package poolside

import (
	"fmt"
	"math"

	"underkick/internal/camera/filming"
	"underkick/internal/kick"
)

// filmingTry is a change with the set-up it makes.
type filmingTry struct {
	FilmingChange
	in   FilmingInput
	runs int
}

// Sizes of the changes tried.
const (
	changeNearer = 0.75
	changeWider  = 1.3
	wellKept     = 0.03 // m, standard error of the distance of a swimmer who follows a line
)

// changes are what can be changed about a completed input, one thing at a time.
func (in FilmingInput) changes() []filmingTry {
	var out []filmingTry
	try := func(id, words string, runs int, change func(*FilmingInput)) {
		c := in
		change(&c)
		if c.Validate() == nil {
			out = append(out, filmingTry{FilmingChange{ID: id, Words: words}, c, runs})
		}
	}
	setup := in.setup()
	near, far := in.DistanceM*changeNearer, in.DistanceM/changeNearer
	try("nearer", fmt.Sprintf("film from %.1f m of water instead of %.1f m", near, in.DistanceM), 1, func(c *FilmingInput) { c.DistanceM = near })
	try("farther", fmt.Sprintf("film from %.1f m of water instead of %.1f m", far, in.DistanceM), 1, func(c *FilmingInput) { c.DistanceM = far })
	wide := 2 * math.Atan(changeWider*math.Tan(setup.Field/2)) * 180 / math.Pi
	try("wider", fmt.Sprintf("use a wider lens, %.0f degrees in air", wide), 1, func(c *FilmingInput) { c.FieldDeg = wide })
	try("rate", fmt.Sprintf("film %.0f frames per second instead of %.4g", 2*in.FPS, in.FPS), 1, func(c *FilmingInput) { c.FPS = 2 * in.FPS })
	shutter := in.shutter() / 2
	try("shutter", fmt.Sprintf("halve the shutter time to 1/%.0f s: set it, or bring more light", 1/shutter), 1, func(c *FilmingInput) { c.ShutterS = shutter })
	try("pixels", fmt.Sprintf("film %d px wide pictures instead of %d", 2*in.WidthPx, in.WidthPx), 1, func(c *FilmingInput) { c.WidthPx, c.HeightPx = 2*in.WidthPx, 2*in.HeightPx })
	if setup.Housing == filming.FlatPort {
		try("dome", "use a dome in place of the flat port", 1, func(c *FilmingInput) { c.Housing = "dome" })
	}
	if in.Scale != "rectangle" {
		try("rectangle", "hang a rectangle of known size in the lane and film it before the swimmer", 1, func(c *FilmingInput) { c.Scale = "rectangle" })
	}
	if in.Scale == "height" {
		try("length", "film something of known length in the lane", 1, func(c *FilmingInput) { c.Scale = "length" })
	}
	if in.DistanceSD > wellKept {
		try("line", "let the swimmer follow a line on the floor, and put the known length on it", 1, func(c *FilmingInput) { c.DistanceSD = wellKept })
	}
	if math.Abs(setup.Turn(in.CameraDepthM, in.SwimmerDepthM)) > kick.MaxTurn {
		try("depth", "hold the camera at the swimmer's depth", 1, func(c *FilmingInput) { c.CameraDepthM = c.SwimmerDepthM })
	}
	try("second-run", "film a second run, after full recovery", 2, func(*FilmingInput) {})
	marked := in.film(1).marked(1)
	try("marks", fmt.Sprintf("mark %d frames instead of %d", marked*3/2, marked), 1, func(c *FilmingInput) { c.Marked = marked * 3 / 2 })
	return out
}
