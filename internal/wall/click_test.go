package wall

import (
	"bytes"
	"encoding/binary"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

func track(t *testing.T, c Click) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := c.WriteWAV(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// Offsets and values of the RIFF/WAVE form with PCM data (Multimedia Programming Interface and
// Data Specifications 1.0, IBM and Microsoft 1991).
func TestWAVFollowsTheStandard(t *testing.T) {
	b := track(t, Click{Tempo: 2.2})
	u32 := func(at int) uint32 { return binary.LittleEndian.Uint32(b[at:]) }
	u16 := func(at int) uint16 { return binary.LittleEndian.Uint16(b[at:]) }
	if string(b[:4]) != "RIFF" || string(b[8:16]) != "WAVEfmt " || string(b[36:40]) != "data" {
		t.Fatalf("chunks %q %q %q", b[:4], b[8:16], b[36:40])
	}
	if int(u32(4)) != len(b)-8 || int(u32(40)) != len(b)-44 || u32(16) != 16 {
		t.Errorf("sizes %d %d of %d bytes", u32(4), u32(40), len(b))
	}
	if u16(20) != 1 || u16(22) != 1 || u32(24) != 44100 || u32(28) != 88200 || u16(32) != 2 || u16(34) != 16 {
		t.Error("not PCM, one channel, 44100 Hz, 16 bit")
	}
}

// Clicks begin where the tempo says, to half a sample, without adding up; none is louder than half
// of full scale, and counting-in is there as asked.
func TestClicksKeepTheTempo(t *testing.T) {
	c := Click{Tempo: 2.13, Seconds: 30, CountIn: 3, Volume: 1}
	s := c.samples()
	var starts []int
	quiet := sampleRate
	peak := 0
	for i, v := range s {
		peak = max(peak, int(math.Abs(float64(v))))
		if v != 0 {
			if quiet > 500 {
				starts = append(starts, i)
			}
			quiet = 0
		} else {
			quiet++
		}
	}
	if want := 3 + 63; len(starts) != want {
		t.Fatalf("%d clicks, want %d", len(starts), want)
	}
	for k, at := range starts {
		near(t, "click", float64(at), float64(k)/2.13*44100, 12) // a click begins in silence
	}
	if peak > math.MaxInt16/2+1 || peak < math.MaxInt16/3 {
		t.Errorf("loudest sample %d", peak)
	}
	if n := len(Click{Tempo: 2, Seconds: 4, CountIn: -1}.samples()); math.Abs(float64(n)-4*sampleRate) > 2*clickN {
		t.Errorf("%d samples without counting-in", n)
	}
}

func TestClickRefuses(t *testing.T) {
	for _, c := range []Click{{}, {Tempo: 130}, {Tempo: math.NaN()}, {Tempo: 2, Seconds: 300}, {Tempo: 2, CountIn: 99}, {Tempo: 2, Volume: 2}, {Tempo: 2, Seconds: -1}} {
		if c.Check() == nil {
			t.Errorf("%+v was taken", c)
		}
	}
}

// A general-purpose reader of the format agrees.
func TestFfprobeReadsTheTrack(t *testing.T) {
	probe, err := exec.LookPath("ffprobe")
	if err != nil {
		t.Skip("no ffprobe on this machine")
	}
	file := filepath.Join(t.TempDir(), "click.wav")
	if err := os.WriteFile(file, track(t, Click{Tempo: 2, Seconds: 5}), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.CommandContext(t.Context(), probe, "-v", "error", "-show_entries", "stream=codec_name,sample_rate,channels,duration", "-of", "csv=p=0", file).CombinedOutput()
	if err != nil {
		t.Fatalf("%v %s", err, out)
	}
	if got := strings.TrimSpace(string(out)); !strings.HasPrefix(got, "pcm_s16le,44100,1,7.0") { // 4 beats and 10 kicks at 2 Hz
		t.Errorf("read as %q", got)
	}
}
