package wall

import (
	"encoding/binary"
	"fmt"
	"io"
	"math"
)

// Click describes a click track. Zero fields: four counting-in beats, 8 s, half volume.
type Click struct {
	Tempo   float64 // kicks per second, 0.5 to 4
	Seconds float64 // length after the counting-in, at most MostClickSeconds; 0 = 8
	CountIn int     // beats before the first kick, at most 16; 0 = 4, negative = none
	Volume  float64 // 0 to 1; 0 = 0.5. The loudest sample is half of full scale
}

const (
	sampleRate = 44100
	clickN     = 1103  // samples of one click: 25 ms
	countHz    = 660.0 // pitch of the counting-in
	kickHz     = 990.0 // pitch of the kicks
	loudest    = 0.5   // of full scale: ear-pieces under water are worn close to the ear
)

// MostClickSeconds bounds a track: it is there for a few kicks, not to hold the breath by.
const MostClickSeconds = 30.0

// Check returns what cannot be used, nil if nothing, with zero fields taken as described.
func (c Click) Check() error {
	switch {
	case !(c.Tempo >= 0.5 && c.Tempo <= 4):
		return fmt.Errorf("the tempo is %g kicks per second; it must lie between 0.5 and 4 (kicks per minute divide by 60)", c.Tempo)
	case !(c.Seconds >= 0 && c.Seconds <= MostClickSeconds):
		return fmt.Errorf("the track's length is %g s; it must lie between 1 and %g s: six to ten kicks are enough", c.Seconds, MostClickSeconds)
	case c.CountIn > 16:
		return fmt.Errorf("%d beats of counting-in are too many; take 16 or fewer", c.CountIn)
	case !(c.Volume >= 0 && c.Volume <= 1):
		return fmt.Errorf("the volume is %g; it must lie between 0 and 1", c.Volume)
	}
	return nil
}

func (c Click) completed() Click {
	if c.Seconds == 0 {
		c.Seconds = 8
	}
	if c.CountIn == 0 {
		c.CountIn = 4
	}
	if c.Volume == 0 {
		c.Volume = 0.5
	}
	c.CountIn = max(0, c.CountIn)
	return c
}

// samples returns the track: one click per kick at the start of its downkick, beats of
// counting-in before, lower in pitch, at the same tempo. Click k begins at sample
// round(k rate/Tempo), so that errors do not add up.
func (c Click) samples() []int16 {
	c = c.completed()
	kicks := int(c.Seconds*c.Tempo + 1e-9)
	beats := c.CountIn + kicks
	n := int(math.Round(float64(beats)/c.Tempo*sampleRate)) + clickN
	out := make([]int16, n)
	for k := range beats {
		pitch := kickHz
		if k < c.CountIn {
			pitch = countHz
		}
		at := int(math.Round(float64(k) / c.Tempo * sampleRate))
		for i := range clickN {
			t := float64(i) / sampleRate
			window := math.Sin(math.Pi * float64(i) / clickN) // begins and ends in silence
			out[at+i] = int16(math.Round(math.MaxInt16 * loudest * c.Volume * window * math.Sin(2*math.Pi*pitch*t)))
		}
	}
	return out
}

// WriteWAV writes the track as a RIFF/WAVE file: PCM, one channel, 16 bit, 44100 Hz
// (Multimedia Programming Interface and Data Specifications 1.0, IBM and Microsoft 1991).
// It panics when Check does not pass.
func (c Click) WriteWAV(w io.Writer) error {
	if err := c.Check(); err != nil {
		panic("wall: " + err.Error())
	}
	data := c.samples()
	size := uint32(2 * len(data)) //nolint:gosec // bounded by Check
	head := struct {
		Riff        [4]byte
		Size        uint32
		Wave, Fmt   [4]byte
		FmtSize     uint32
		Format      uint16
		Channels    uint16
		Rate        uint32
		BytesPerS   uint32
		Block, Bits uint16
		Data        [4]byte
		DataSize    uint32
	}{
		[4]byte([]byte("RIFF")), 36 + size, [4]byte([]byte("WAVE")), [4]byte([]byte("fmt ")), 16, 1, 1,
		sampleRate, 2 * sampleRate, 2, 16, [4]byte([]byte("data")), size,
	}
	if err := binary.Write(w, binary.LittleEndian, head); err != nil {
		return fmt.Errorf("write the click track: %w", err)
	}
	if err := binary.Write(w, binary.LittleEndian, data); err != nil {
		return fmt.Errorf("write the click track: %w", err)
	}
	return nil
}
