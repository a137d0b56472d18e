package table

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// The examples of docs/formats.md are read by the readers they describe.
func TestExamplesInTheDocumentation(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "docs", "formats.md"))
	if err != nil {
		t.Fatal(err)
	}
	marks, maps := 0, 0
	for _, block := range regexp.MustCompile("(?s)```json\n(.*?)```").FindAllSubmatch(text, -1) {
		example := block[1]
		switch {
		case bytes.Contains(example, []byte(MarksFormat)):
			marks++
			table, err := ReadMarks(bytes.NewReader(example))
			if err != nil {
				t.Errorf("the marks file of the documentation: %v", err)
			} else if len(table.Marks) != 2 || table.Clip.SHA256 == "" || table.Run == nil || table.MetresPerPx == 0 {
				t.Errorf("the marks file of the documentation is read as %+v", table)
			}
		case bytes.Contains(example, []byte(KeypointMapFormat)):
			maps++
			m, err := ParseKeypointMap(bytes.NewReader(example))
			if err != nil || len(m.Keypoints) != 5 {
				t.Errorf("the keypoint map of the documentation: %v, %v", m, err)
			}
		}
	}
	if marks != 1 || maps != 1 {
		t.Errorf("found %d marks files and %d keypoint maps in the documentation, want one each", marks, maps)
	}
	// Every field that the readers know is explained.
	for _, name := range append(columnNames[:], "fps", "times_s", "who", "run", "metres_per_px", "plane", "left", "right", "middle",
		"take", "category", "frame_from", "first_number", "person", "pixel") {
		if !strings.Contains(string(text), "`"+name+"`") {
			t.Errorf("docs/formats.md does not explain `%s`", name)
		}
	}
}
