package swim

import (
	_ "embed"
	"encoding/json"
)

//go:embed templates.json
var templatesJSON []byte

// Templates returns 26 invented kicks at 2.2 Hz and level pitch, rows of NumTerms
// terms in templates.json. Each was fitted, before this package was written, to
// landmark travels, phases and joint ranges drawn at random from ranges like the
// published ones (toe travel 0.53 +- 0.05 m at 1.80 m height, largest knee flexion 70 +-
// 7 deg, ankle 12 +- 5 to 45 +- 6 deg, downkick 46 % of the kick). They are plausible,
// not measured.
func Templates() []Kick {
	var rows [][NumTerms]float64
	if err := json.Unmarshal(templatesJSON, &rows); err != nil {
		panic("swim: templates.json: " + err.Error())
	}
	kicks := make([]Kick, len(rows))
	for i, r := range rows {
		kicks[i] = FromTerms(r)
		kicks[i].Tempo = Reference().Tempo
	}
	return kicks
}
