package table

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"underkick/internal/body"
)

// persons returns the annotation to use on each picture.
func (c *cocoReader) persons(f field, category int64, images map[int64]row) map[int64]person {
	chosen := map[int64]person{}
	for _, e := range splitArray(c.data, f, "annotations", c.probs) {
		p := person{line: c.data.line(e.offset)}
		if !e.decode(c.data, &p.cocoAnnotation, false, c.probs) {
			continue
		}
		if p.CategoryID != category || p.crowd() || len(p.Keypoints) == 0 {
			continue
		}
		if len(p.Keypoints) != 3*len(c.names) {
			c.probs.add(p.line, `"keypoints" has %d numbers; the category has %d keypoints, so %d are expected (x, y, v each)`, len(p.Keypoints), len(c.names), 3*len(c.names))
			continue
		}
		if p.ImageID == nil {
			c.probs.add(p.line, `the annotation has no "image_id"`)
			continue
		}
		if _, ok := images[*p.ImageID]; !ok {
			c.probs.add(p.line, "the annotation belongs to image %d, which is not among the images", *p.ImageID)
			continue
		}
		if p.points() == 0 {
			continue
		}
		if before, two := chosen[*p.ImageID]; two {
			p = c.choose(before, p)
		}
		chosen[*p.ImageID] = p
	}
	return chosen
}

// choose returns whichever of two annotations on one picture the map wants.
func (c *cocoReader) choose(a, b person) person {
	var more bool
	switch c.keys.Person {
	case "score":
		if a.Score == nil || b.Score == nil {
			c.probs.add(b.line, `the keypoint map chooses by "score", but an annotation of image %d has none`, *b.ImageID)
			return a
		}
		more = *b.Score > *a.Score
	case "most_points":
		more = b.points() > a.points()
	case "largest":
		more = b.size() > a.size()
	default:
		c.probs.add(b.line, `image %d has two annotated bodies (first on line %d); keep the swimmer's only, or set "person" in the keypoint map to "score", "most_points" or "largest"`, *b.ImageID, a.line)
	}
	if more {
		return b
	}
	return a
}

func (p person) crowd() bool { return p.IsCrowd == true || p.IsCrowd == 1.0 }

func (p person) points() int {
	n := 0
	for i := 2; i < len(p.Keypoints); i += 3 {
		if p.Keypoints[i] > 0 {
			n++
		}
	}
	return n
}

func (p person) size() float64 {
	if p.Area > 0 || len(p.BBox) != 4 {
		return p.Area
	}
	return p.BBox[2] * p.BBox[3]
}

// rows turns the chosen annotations into marks.
func (c *cocoReader) rows(persons map[int64]person, images map[int64]row) []row {
	take := c.keys.Take
	if take == "" || take == TakeNearer {
		take = c.nearer(persons)
	}
	var rows []row
	for _, id := range slices.Sorted(maps.Keys(persons)) {
		p := persons[id]
		var best [body.NumLandmarks]int // 1 + index of the keypoint to use, 0 = none
		for i, name := range c.names {
			key, ok := c.keys.Keypoints[name]
			v := p.Keypoints[3*i+2]
			if !ok || v == 0 || (take == TakeLeft && key.Side == Right) || (take == TakeRight && key.Side == Left) {
				continue
			}
			if v < 0 || v > 2 {
				c.probs.add(p.line, "the flag v of keypoint %q is %g; it runs from 0 (not there) to 2 (visible)", shorten(name), v)
				continue
			}
			if v < c.opt.MinConfidence {
				c.weak++
				continue
			}
			if old := best[key.Landmark]; old == 0 || c.better(p, i, old-1, key) {
				best[key.Landmark] = i + 1
			}
		}
		for l, i := range best {
			if i == 0 {
				continue
			}
			r := images[id]
			r.line = p.line
			r.mark.Landmark = body.Landmark(l)
			r.mark.X, r.mark.Y = c.place(p.Keypoints[3*i-3], p.Keypoints[3*i-2])
			r.mark.SD = c.keys.SD
			if r.check(c.probs) {
				rows = append(rows, r)
			}
		}
	}
	return rows
}

// better tells whether keypoint i of a person goes before keypoint old, which
// stands for the same landmark.
func (c *cocoReader) better(p person, i, old int, key Keypoint) bool {
	was := c.keys.Keypoints[c.names[old]]
	if (key.Side == Middle) != (was.Side == Middle) {
		return key.Side == Middle
	}
	vi, vo := p.Keypoints[3*i+2], p.Keypoints[3*old+2]
	return vi > vo || (vi == vo && key.Side == Left && was.Side == Right)
}

// nearer returns the side with more visible points over all pictures: seen
// from the side, the far side is the one that hides. The left on a tie.
func (c *cocoReader) nearer(persons map[int64]person) Take {
	var sum [3]float64
	for _, p := range persons {
		for i, name := range c.names {
			if key, ok := c.keys.Keypoints[name]; ok {
				sum[key.Side] += p.Keypoints[3*i+2]
			}
		}
	}
	if sum[Left] == 0 && sum[Right] == 0 {
		return TakeLeft
	}
	side, word := TakeLeft, "left"
	if sum[Right] > sum[Left] {
		side, word = TakeRight, "right"
	}
	c.table.Warnings = append(c.table.Warnings, fmt.Sprintf("the %s side was taken for the nearer one (flags v add up to %g left, %g right)", word, sum[Left], sum[Right]))
	return side
}

func (c *cocoReader) place(x, y float64) (float64, float64) {
	if c.keys.CornerPx {
		return x, y
	}
	return x + cocoShift, y + cocoShift
}

// warnFirst asks about pictures numbered from 1, which would put every mark one
// frame late.
func (c *cocoReader) warnFirst() {
	if c.keys.FrameFrom == "frame" || !c.table.HasFrame || c.keys.FirstNumber != 0 {
		return
	}
	if first := c.table.Marks[0].Frame; first == 1 {
		c.table.Warnings = append(c.table.Warnings, `the lowest picture number is 1 and was taken as the film's second frame; if pictures were numbered from 1, set "first_number": 1 in the keypoint map`)
	}
}

func shortList(names []string) string {
	var b strings.Builder
	for i, n := range names {
		if i == 8 {
			fmt.Fprintf(&b, " and %d more", len(names)-i)
			break
		}
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString(shorten(n))
	}
	return b.String()
}
