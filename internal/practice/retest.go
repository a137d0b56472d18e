package practice

import (
	"fmt"
	"time"

	"underkick/internal/record"
)

// Weeks of practice before a retest. Training studies that found a change lasted
// five weeks (Ruiz-Navarro et al. 2024, J Hum Kinet 93:53-68) and seven
// (Ruiz-Navarro et al., swimmers of 10-12 years); shorter ones were not found.
const (
	LeastWeeks = 3
	UsualWeeks = 5
	MostWeeks  = 12
)

// RetestOn returns the day on which practice begun on a day is tested again. It
// errs where the day is not valid or weeks lie outside LeastWeeks to MostWeeks.
func RetestOn(begun record.Date, weeks int) (record.Date, error) {
	if weeks < LeastWeeks || weeks > MostWeeks {
		return "", fmt.Errorf("retest after %d weeks: choose %d to %d weeks; studies that found a change trained for five to seven", weeks, LeastWeeks, MostWeeks)
	}
	if !begun.Valid() {
		return "", fmt.Errorf("retest: %q is not a day; write it as YYYY-MM-DD", string(begun))
	}
	t, err := time.Parse(time.DateOnly, string(begun))
	if err != nil {
		return "", fmt.Errorf("retest: read the day: %w", err)
	}
	return record.DateOf(t.AddDate(0, 0, 7*weeks)), nil
}
