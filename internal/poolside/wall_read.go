package poolside

import (
	"bytes"
	"encoding/json"
	"errors"
)

// ReadWallInput reads the JSON of a WallInput; unknown fields are refused.
func ReadWallInput(text []byte) (WallInput, error) {
	var in WallInput
	if err := decodeStrict(text, &in); err != nil {
		return in, inputf("the wall file is not one of ours: %w", err)
	}
	return in, nil
}

// ReadLadderInput reads the JSON of a LadderInput; unknown fields are refused.
func ReadLadderInput(text []byte) (LadderInput, error) {
	var in LadderInput
	if err := decodeStrict(text, &in); err != nil {
		return in, inputf("the ladder file is not one of ours: %w", err)
	}
	return in, nil
}

// decodeStrict reads one JSON value and nothing after it.
func decodeStrict(text []byte, into any) error {
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(into); err != nil {
		return err
	}
	if d.More() {
		return errors.New("something follows after the end")
	}
	return nil
}
