// Package drawing turns what was measured of a run into drawings on its film.
//
// A Run holds traces, view and result of one run. Run.Scene draws one picture
// of it: layers of plain shapes in picture px, each shape with a role instead
// of a colour. SVG writes a scene as vectors over the picture; package burn puts
// the same scene into the picture itself. What a role looks like stands in the
// palette, in one place.
//
// Nothing is drawn that was not measured: a landmark without a trace, a facing
// or an angle that the clip does not support leaves its layer empty.
package drawing
