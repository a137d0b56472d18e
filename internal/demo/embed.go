package demo

import (
	"embed"
	"encoding/json"
	"fmt"

	"underkick/internal/camera"
	"underkick/internal/record"
)

//go:embed clips
var files embed.FS

func (c Clip) read(ending string) ([]byte, error) {
	data, err := files.ReadFile("clips/" + c.Name + ending)
	if err != nil {
		return nil, fmt.Errorf("demo clip %s is not in this program: %w", c.Name, err)
	}
	return data, nil
}

// Film returns the clip's MP4 file.
func (c Clip) Film() ([]byte, error) { return c.read(".mp4") }

// Marks returns a careful coach's marks as a marks file (see package table).
func (c Clip) Marks() ([]byte, error) { return c.read(".marks.json") }

// Truth returns what is known of the clip because it was rendered.
func (c Clip) Truth() (Truth, error) {
	data, err := c.read(".truth.json")
	if err != nil {
		return Truth{}, err
	}
	var t Truth
	if err := json.Unmarshal(data, &t); err != nil {
		return Truth{}, fmt.Errorf("truth of demo clip %s: %w", c.Name, err)
	}
	return t, nil
}

// clip returns the descriptor of the embedded clip.
func (k *take) clip() (Clip, error) {
	c := Clip{Name: k.name, Swimmer: k.swimmer, Visit: k.visit, TrueFPS: k.trueFPS}
	t, err := c.Truth()
	if err != nil {
		return Clip{}, err
	}
	scale, err := k.scale(&t)
	if err != nil {
		return Clip{}, err
	}
	c.Run = record.Run{
		FromFrame: t.InView[0], ToFrame: t.InView[1], Effort: k.effort, Start: record.PushOff, Position: record.Prone,
		DepthM: k.depth, Repeat: k.repeat, MarkedBy: marker, Scale: scale, TrueFPS: k.trueFPS,
	}
	if k.supine {
		c.Run.Position = record.Supine
	}
	return c, nil
}

// scale is the clip's scale as a coach enters it: the rod's ends, or the four corners
// of rod and uprights.
func (k *take) scale(t *Truth) (record.Scale, error) {
	if k.uprights {
		return record.Scale{Kind: record.Plane, Plane: t.Plane}, nil
	}
	entries, err := camera.ParsePlane(t.Plane)
	if err != nil {
		return record.Scale{}, fmt.Errorf("plane of demo clip %s: %w", k.name, err)
	}
	p := entries[0].PointsPx
	return record.Scale{Kind: record.KnownLength, LengthM: rodLength, PointsPx: [2][2]float64{p[0], p[1]}}, nil
}
