package table

import (
	"io"
	"strconv"
	"strings"
)

// cocoShift turns COCO keypoint positions into ours. COCO keypoints have "a
// 0-indexed location x,y" (data format page of the COCO data set,
// cocodataset.org/#format-data, section keypoint detection): whole numbers are
// the indices of pixels, so the middle of the first pixel is (0, 0) there and
// (0.5, 0.5) here. Widely used readers of the format add the same half pixel.
const cocoShift = 0.5

type cocoImage struct {
	ID       int64    `json:"id"`
	FileName string   `json:"file_name"`
	Frame    *int     `json:"frame"`
	Time     *float64 `json:"time_s"`
}

type cocoAnnotation struct {
	ImageID    *int64    `json:"image_id"`
	CategoryID int64     `json:"category_id"`
	Keypoints  []float64 `json:"keypoints"`
	IsCrowd    any       `json:"iscrowd"`
	Area       float64   `json:"area"`
	BBox       []float64 `json:"bbox"`
	Score      *float64  `json:"score"`
}

type cocoCategory struct {
	ID        int64    `json:"id"`
	Name      string   `json:"name"`
	Keypoints []string `json:"keypoints"`
}

// person is one annotated body on one picture, with the line it came from.
type person struct {
	cocoAnnotation
	line int
}

// ReadCOCO reads COCO keypoints JSON: "images", "annotations" with "keypoints"
// (x, y, v three by three) and "categories" with the keypoints' names. Points
// with v = 0 are not there. Frame numbers come from the picture's file name
// unless the keypoint map says otherwise; a picture may carry "time_s". The
// error is a *Problems unless reading itself failed.
func ReadCOCO(r io.Reader, opt Options) (*Table, error) {
	data, err := readAll(r)
	if err != nil {
		return nil, err
	}
	return parseCOCO(newText(data), opt)
}

// cocoReader holds a COCO document on its way to a table.
type cocoReader struct {
	data  *text
	keys  *KeypointMap
	opt   Options
	probs *Problems
	table *Table
	names []string // keypoints of the category, in order
	weak  int
}

func parseCOCO(data *text, opt Options) (*Table, error) {
	doc, probs := splitObject(data, "the COCO keypoints file cannot be used")
	if err := probs.err(); err != nil {
		return nil, err
	}
	c := &cocoReader{data: data, keys: opt.Keypoints, opt: opt, probs: probs, table: &Table{}}
	if c.keys == nil {
		c.keys = DefaultKeypoints()
	}
	for _, name := range []string{"images", "annotations", "categories"} {
		if _, ok := doc[name]; !ok {
			probs.add(0, "there is no list %q; COCO keypoints files have images, annotations and categories", name)
		}
	}
	if err := probs.err(); err != nil {
		return nil, err
	}
	category, ok := c.category(doc["categories"])
	if !ok {
		return nil, probs
	}
	images := c.images(doc["images"])
	persons := c.persons(doc["annotations"], category, images)
	if err := probs.err(); err != nil {
		return nil, err
	}
	rows := c.rows(persons, images)
	if len(rows) == 0 && len(probs.List) == 0 {
		probs.add(0, "no keypoint could be used: %d annotated pictures, keypoints %s; give a keypoint map that names the landmark of each", len(persons), shortList(c.names))
	}
	c.table.warnWeak(c.weak, opt)
	if err := c.table.finish(rows, probs); err != nil {
		return nil, err
	}
	c.warnFirst()
	return c.table, nil
}

// category returns the id of the category to read and keeps its keypoints.
func (c *cocoReader) category(f field) (int64, bool) {
	var found []cocoCategory
	var all []string
	for _, e := range splitArray(c.data, f, "categories", c.probs) {
		var cat cocoCategory
		if !e.decode(c.data, &cat, false, c.probs) || len(cat.Keypoints) == 0 {
			continue
		}
		all = append(all, cat.Name)
		if c.keys.Category == "" || cat.Name == c.keys.Category {
			found = append(found, cat)
		}
	}
	switch {
	case len(c.probs.List) > 0:
		return 0, false
	case len(all) == 0:
		c.probs.add(c.data.line(f.offset), "no category names its keypoints")
	case len(found) == 0:
		c.probs.add(c.data.line(f.offset), "no category is called %q; there are %s", shorten(c.keys.Category), shortList(all))
	case len(found) > 1:
		c.probs.add(c.data.line(f.offset), `%d categories have keypoints (%s); name one as "category" in the keypoint map`, len(found), shortList(all))
	default:
		c.names = found[0].Keypoints
		c.warnUnused()
		return found[0].ID, true
	}
	return 0, false
}

func (c *cocoReader) warnUnused() {
	var unused []string
	seen := map[string]bool{}
	for _, name := range c.names {
		if seen[name] {
			c.probs.add(0, "the keypoint %q stands twice in its category", shorten(name))
		}
		seen[name] = true
		if _, ok := c.keys.Keypoints[name]; !ok {
			unused = append(unused, name)
		}
	}
	if len(unused) > 0 {
		c.table.Warnings = append(c.table.Warnings, "keypoints that are no landmark and were left out: "+shortList(unused))
	}
}

// images returns frame and time of each picture by its id.
func (c *cocoReader) images(f field) map[int64]row {
	images := map[int64]row{}
	for _, e := range splitArray(c.data, f, "images", c.probs) {
		var im cocoImage
		if !e.decode(c.data, &im, false, c.probs) {
			continue
		}
		r := row{line: c.data.line(e.offset)}
		if first, twice := images[im.ID]; twice {
			c.probs.add(r.line, "image id %d stands twice (first on line %d)", im.ID, first.line)
			continue
		}
		if im.Time != nil {
			r.hasTime, r.mark.Time = true, *im.Time
		}
		number, ok := c.frameNumber(im, r.line)
		if ok {
			r.hasFrame, r.mark.Frame = true, number
		}
		images[im.ID] = r
	}
	return images
}

func (c *cocoReader) frameNumber(im cocoImage, line int) (int, bool) {
	number, ok := 0, false
	switch c.keys.FrameFrom {
	case "image_id":
		number, ok = int(im.ID), true
	case "frame":
		if im.Frame == nil {
			c.probs.add(line, `the image has no field "frame", where the keypoint map looks for its number`)
			return 0, false
		}
		number, ok = *im.Frame, true
	default:
		number, ok = lastNumber(im.FileName)
		if !ok && im.Time == nil {
			c.probs.add(line, `the image's file name %q has no number to take as its frame; set "frame_from" in the keypoint map to "image_id" or "frame"`, shorten(im.FileName))
		}
	}
	return number - c.keys.FirstNumber, ok
}

// lastNumber returns the last run of digits in the base of a file name, without
// its ending: 42 for "swim2/take-7_000042.png".
func lastNumber(name string) (int, bool) {
	name = name[strings.LastIndexAny(name, `/\`)+1:]
	if dot := strings.LastIndexByte(name, '.'); dot > 0 {
		name = name[:dot]
	}
	isDigit := func(r rune) bool { return r >= '0' && r <= '9' }
	end := strings.LastIndexFunc(name, isDigit) + 1
	start := strings.LastIndexFunc(name[:end], func(r rune) bool { return !isDigit(r) }) + 1
	n, err := strconv.Atoi(name[start:end])
	return n, err == nil
}
