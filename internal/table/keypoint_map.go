package table

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"underkick/internal/body"
)

// Name and version that stand at the head of a keypoint map.
const (
	KeypointMapFormat  = "underkick keypoint map"
	KeypointMapVersion = 1
)

// Side is the side of the body that a keypoint belongs to.
type Side uint8

// Sides. In a side view one side is nearer to the camera.
const (
	Middle Side = iota
	Left
	Right
)

// Keypoint is what a foreign keypoint means for us.
type Keypoint struct {
	Landmark body.Landmark
	Side     Side
}

// Take says which of a left and a right keypoint becomes the landmark.
type Take string

// Ways to take a side. A middle keypoint is always taken before both.
const (
	TakeNearer    Take = "nearer"         // for the whole table the side with more visible points (COCO v = 2); the default
	TakeLeft      Take = "left"           // the left side only
	TakeRight     Take = "right"          // the right side only
	TakeConfident Take = "more_confident" // on each frame and for each landmark the side with the higher v; the left on a tie
)

// KeypointMap says how COCO keypoints become landmarks.
type KeypointMap struct {
	Keypoints map[string]Keypoint // by keypoint name
	Take      Take                // "" = TakeNearer

	Category    string // name of the category to read; "" = the only one with keypoints
	FrameFrom   string // where a picture's frame number stands: "file_number" ("" too), "image_id", "frame"
	FirstNumber int    // the number of the film's first picture, subtracted from every frame number
	Person      string // which annotation to take where a picture has several: "" = refuse, "score", "most_points", "largest"

	// CornerPx is true where positions already count from the picture's corner,
	// the middle of the first pixel being (0.5, 0.5). False is COCO's own count.
	CornerPx bool
	SD       float64 // standard error per axis given to every mark, px; 0 = not known
}

// DefaultKeypoints is the map used without a map file: our landmark ids with
// and without left_ and right_ before them, and big_toe for toe.
func DefaultKeypoints() *KeypointMap {
	m := &KeypointMap{Keypoints: map[string]Keypoint{}}
	for l := range body.Landmark(body.NumLandmarks) {
		m.name(l.String(), l)
	}
	m.name("big_toe", body.Toe)
	return m
}

func (m *KeypointMap) name(name string, l body.Landmark) {
	m.Keypoints[name] = Keypoint{l, Middle}
	m.Keypoints["left_"+name] = Keypoint{l, Left}
	m.Keypoints["right_"+name] = Keypoint{l, Right}
}

// mapFile is the keypoint map as it stands in its file.
type mapFile struct {
	Format      string            `json:"format"`
	Version     int               `json:"version"`
	Left        map[string]string `json:"left"`
	Right       map[string]string `json:"right"`
	Middle      map[string]string `json:"middle"`
	Take        string            `json:"take"`
	Category    string            `json:"category"`
	FrameFrom   string            `json:"frame_from"`
	FirstNumber int               `json:"first_number"`
	Person      string            `json:"person"`
	Pixel       string            `json:"pixel"`
	SD          float64           `json:"sd_px"`
}

// ParseKeypointMap reads a keypoint map file. The error is a *Problems unless
// reading itself failed.
func ParseKeypointMap(r io.Reader) (*KeypointMap, error) {
	data, err := readAll(r)
	if err != nil {
		return nil, err
	}
	doc := newText(data)
	_, probs := splitObject(doc, "the keypoint map cannot be used")
	if err := probs.err(); err != nil {
		return nil, err
	}
	var file mapFile
	(field{raw: data}).decode(doc, &file, true, probs)
	if err := probs.err(); err != nil {
		return nil, err
	}
	if file.Format != KeypointMapFormat || file.Version != KeypointMapVersion {
		probs.add(0, `a keypoint map says "format": %q and "version": %d; this one says %q and %d`, KeypointMapFormat, KeypointMapVersion, shorten(file.Format), file.Version)
		return nil, probs
	}
	m := &KeypointMap{
		Keypoints: map[string]Keypoint{}, Take: Take(file.Take), Category: file.Category,
		FrameFrom: file.FrameFrom, FirstNumber: file.FirstNumber, Person: file.Person,
		CornerPx: file.Pixel == "corner", SD: file.SD,
	}
	m.side(file.Left, Left, probs)
	m.side(file.Right, Right, probs)
	m.side(file.Middle, Middle, probs)
	if len(m.Keypoints) == 0 && len(probs.List) == 0 {
		probs.add(0, `it names no keypoints; "left", "right" and "middle" give the landmark of each keypoint name`)
	}
	probs.oneOf("take", file.Take, "", string(TakeNearer), string(TakeLeft), string(TakeRight), string(TakeConfident))
	probs.oneOf("frame_from", file.FrameFrom, "", "file_number", "image_id", "frame")
	probs.oneOf("person", file.Person, "", "score", "most_points", "largest")
	probs.oneOf("pixel", file.Pixel, "", "index", "corner")
	if !(file.SD >= 0 && file.SD <= maxPx) {
		probs.add(0, `"sd_px" is %g; it must be 0 or more`, file.SD)
	}
	if file.FirstNumber < 0 {
		probs.add(0, `"first_number" is %d; it must be 0 or more`, file.FirstNumber)
	}
	if err := probs.err(); err != nil {
		return nil, err
	}
	return m, nil
}

func (m *KeypointMap) side(names map[string]string, side Side, probs *Problems) {
	for _, name := range slices.Sorted(maps.Keys(names)) {
		l, err := body.ParseLandmark(names[name])
		if err != nil {
			probs.add(0, "keypoint %q: unknown landmark %q; the landmarks are %s", shorten(name), shorten(names[name]), landmarkList)
			continue
		}
		if _, twice := m.Keypoints[name]; twice {
			probs.add(0, "keypoint %q stands on two sides; name it once", shorten(name))
			continue
		}
		m.Keypoints[name] = Keypoint{l, side}
	}
}

func (p *Problems) oneOf(name, got string, allowed ...string) {
	if slices.Contains(allowed, got) {
		return
	}
	quoted := make([]string, 0, len(allowed))
	for _, a := range allowed {
		if a != "" {
			quoted = append(quoted, fmt.Sprintf("%q", a))
		}
	}
	p.add(0, "%q is %q; it may be %s", name, shorten(got), strings.Join(quoted, ", "))
}
