package limit

import (
	"math"
	"testing"

	"underkick/internal/body"
	"underkick/internal/kick"
)

// The rule for standing out, at its edge: 1.08 ± 0.13 m/s (n 35) gives 0.82 to
// 1.34 for two standard deviations.
func TestStandingNeedsTheWholeBandOutsideTwoSD(t *testing.T) {
	r := Published("speed", Children, body.Female)
	for _, c := range []struct {
		low, high float64
		want      Standing
	}{
		{0.70, 0.81, Below}, {0.70, 0.83, Within}, {1.00, 1.10, Within}, {1.33, 1.50, Within}, {1.35, 1.50, Above}, {0.5, 2, Within},
	} {
		m := kick.Measure{Value: (c.low + c.high) / 2, Low: c.low, High: c.high}
		if got := r.Standing(m); got != c.want {
			t.Errorf("band %.2f to %.2f: standing %d, want %d", c.low, c.high, got, c.want)
		}
	}
	nan := math.NaN()
	if got := r.Standing(kick.Measure{Value: nan, Low: nan, High: nan}); got != NotMeasured {
		t.Errorf("no value: standing %d", got)
	}
	if got := Published("speed", NoGroup, body.Female).Standing(kick.Measure{Value: 1, Low: 1, High: 1}); got != NothingPublished {
		t.Errorf("no group: standing %d", got)
	}
	if got := Published("speed", Youth, body.Female).Standing(kick.Measure{Value: 3, Low: 3, High: 3}); got != NoSpread {
		t.Errorf("a mean without spread: standing %d", got)
	}
	if got := Published("speed", Elite, body.Male).Standing(kick.Measure{Value: 2, Low: 1.9, High: 2.1}); got != Above {
		t.Errorf("above the printed greatest value: standing %d", got)
	}
}

func TestRangeWords(t *testing.T) {
	for _, c := range []struct {
		measure, unit string
		group         Group
		sex           body.Sex
		want          string
	}{
		{"speed", "m/s", Children, body.Male, "Published for swimmers of 11-12 years: 1.08 ± 0.13 m/s, 35 swimmers, water start without push-off, about 8 m (Wądrzyk et al. 2017)."},
		{"speed", "m/s", Youth, body.Female, "Published for swimmers of 16-17 years: 1.24 m/s (spread not printed), female, 18 swimmers, about 7 m (Wądrzyk et al. about 2019)."},
		{"knee_flexion_max", "deg", Children, body.Male, "Published for swimmers of 11-12 years: 71 ± 9°, 35 swimmers (Wądrzyk et al. 2017)."},
		{"ankle_range", "deg", Adults, body.Male, "Published for adults of national level: 34 to 64°, across studies (Veiga et al. 2022). Orientation only: quoted by others, not read in the source."},
		{"kick_length", "m", Adults, body.SexUnknown, "Published for adults of national level: 0.72 ± 0.10 m, 10 swimmers; 0.71 m (spread not printed), male; 0.68 m (spread not printed), female, 8 swimmers (Kuhn and Legerlotz 2022; Shimojo et al. 2014; Yamakawa et al. 2017). Orientation only: quoted by others, or swum at an imposed kick rate."},
		{"build", "1", Children, body.Male, "No published value; the target is the coach's."},
	} {
		if got := Published(c.measure, c.group, c.sex).Words(c.unit); got != c.want {
			t.Errorf("got\n%s\nwant\n%s", got, c.want)
		}
	}
}
