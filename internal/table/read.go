package table

import (
	"bytes"
	"fmt"
	"io"
)

// Options say how a table is read. The zero value is the default.
type Options struct {
	// MinConfidence leaves out points whose stated confidence is lower (0..1).
	// Points of confidence 0 are always left out: they were not seen.
	MinConfidence float64

	// Keypoints says which COCO keypoints are which landmarks; nil = keypoints
	// named like our landmarks, with left_ or right_ before them or not.
	Keypoints *KeypointMap
}

// Read reads a table in whichever of the three forms it is: a document that
// starts with { is COCO if it has "annotations", else our marks file; all else
// is CSV. The error is a *Problems unless reading itself failed.
func Read(r io.Reader, opt Options) (*Table, error) {
	data, err := readAll(r)
	if err != nil {
		return nil, err
	}
	if start := bytes.TrimLeft(data, " \t\r\n"); len(start) == 0 || (start[0] != '{' && start[0] != '[') {
		return parseCSV(data, opt)
	}
	all := newText(data)
	doc, probs := splitObject(all, "the JSON file cannot be read")
	if err := probs.err(); err != nil {
		return nil, err
	}
	if _, coco := doc["annotations"]; coco {
		return parseCOCO(all, opt)
	}
	return parseMarks(all)
}

// readAll reads at most maxBytes, drops a UTF-8 byte order mark, and refuses
// what is plainly no UTF-8 text.
func readAll(r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("read landmark table: %w", err)
	}
	probs := &Problems{What: "the landmark table cannot be read"}
	switch {
	case len(data) > maxBytes:
		probs.add(0, "it is larger than %d MB; split it, or leave out frames outside the run", maxBytes>>20)
	case bytes.HasPrefix(data, []byte{0xFF, 0xFE}) || bytes.HasPrefix(data, []byte{0xFE, 0xFF}):
		probs.add(0, "it is written as UTF-16; save it as UTF-8")
	case bytes.IndexByte(data, 0) >= 0:
		probs.add(newText(data).line(int64(bytes.IndexByte(data, 0))), "it holds zero bytes, so it is not a text file; check that the right file was given")
	}
	if err := probs.err(); err != nil {
		return nil, err
	}
	return bytes.TrimPrefix(data, []byte("\xEF\xBB\xBF")), nil
}
