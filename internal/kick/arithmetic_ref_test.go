package kick

import (
	"math"
	"testing"
)

// Checks 1-14, 16 and 19 of the reference notes, section (f): published means put
// through the same arithmetic that a run goes through. They catch half for full
// travel, hertz for kicks per minute and means of ratios for ratios of means.
//
// Sources by id of reference-values.csv:
//
//	S01 S04 F01 A01 A02 L01 V01  Wadrzyk, Nosiadek, Staszkiewicz 2017, Human Movement 18(4):23-29 (35 children)
//	S02 S03 A03 A04 V02 V03 L02 L03  Wadrzyk, Staszkiewicz, Zeglen, Kryst, Acta Bioeng Biomech c. 2020 (18 girls, 23 boys of 16-17)
//	V04-V06 L04-L06 I03 I04  Kuhn, Legerlotz 2022, Front Sports Act Living 4:948034 (10 adults)
//	S07  Yamakawa et al. 2017, Hum Mov Sci 54:276-286 (secondary quotation)
//	S08  Alves et al. 2006, Port J Sport Sci 6(Suppl 2):12-14 (secondary quotation)
//	a8   Matsuura et al. 2020, Front Sports Act Living 2:62
//	L11 F14 Zamparo et al. 2006, Eur J Appl Physiol 96:459-470
//
// The tolerances are those of the notes: rounding of the printed means, and the
// difference between a ratio of means and a mean of ratios where marked.
func TestPublishedMeans(t *testing.T) {
	// values from a run of one kick with tempo f, travel a and speed u, as overRun
	// puts them together.
	run := func(f, a, u float64) row {
		r := row{}
		r[toeAmplitude], r[kickLength] = a, u/f
		k := cycle{}
		k.next.T = 1 / f
		return overRun([]row{r}, []cycle{k})
	}
	rel := func(p, x float64) float64 { return p / 100 * x }
	child := run(2.00, 0.46, 1.08)
	girlsF, boysF := 1.05/0.58, 1.15/0.63
	girls, boys := run(girlsF, 0.58, 1.24), run(boysF, 0.63, 1.35)
	women, prone, strange := run(1.99, 0.48, 1.35), run(2.35, 0.50, 1.46), run(1.9, 0.45, 1.8)
	taped, normal, stretched := 1.13/0.69, 1.20/0.72, 1.22/0.73 // imposed rate implied by speed and distance per kick
	for _, c := range []struct {
		name           string
		got, want, tol float64
	}{
		{"1 f A of children", child[frequencyAmplitude], 0.90, rel(3, 0.90)},
		{"2 St of children from printed f A", Strouhal(1, 0.90, 1.08), 0.83, 0.01},
		{"3 distance per kick of children (mean of ratios printed)", child[kickLength], 0.58, rel(8, 0.58)},
		{"4 arms-up length of children", 0.46 / 0.22, 1.33 * 1.57, rel(5, 2.09)},
		{"4 travel over height of children", 0.46 / 1.57, 0.293, rel(5, 0.293)},
		{"5 girls' tempo two ways", 1.24 / girls[kickLength], 1.810, 0.001},
		{"5 girls' distance per kick", girls[kickLength], 0.67, rel(3, 0.67)},
		{"6 boys' distance per kick", boys[kickLength], 0.74, rel(0.5, 0.74)},
		{"7 boys' speed", boys[kickFrequency] * 0.74, 1.35, rel(0.5, 1.35)},
		{"8 St of girls", girls[strouhal], 0.847, 0.005},
		{"8 St of boys", boys[strouhal], 0.852, 0.005},
		{"9 imposed rate, taped", taped, 1.638, 0.001},
		{"9 imposed rate, normal", normal, 1.667, 0.001},
		{"9 imposed rate, stretched", stretched, 1.671, 0.001},
		{"9 distance per kick at that rate", run(normal, 0.5, 1.20)[kickLength], 0.72, 1e-9},
		{"10 speed change taped, %", 100 * (1.13/1.20 - 1), -5.83, 0.05},
		{"10 speed change stretched, %", 100 * (1.22/1.20 - 1), 1.67, 0.05},
		{"11 distance per kick taped, %", 100 * (run(taped, 0.5, 1.13)[kickLength]/run(normal, 0.5, 1.20)[kickLength] - 1), -4.17, 0.05},
		{"12 St of women", women[strouhal], 0.708, 0.001},
		{"13 St of adults prone", prone[strouhal], 0.805, 0.001},
		{"14 St of a sample with push-off speed", strange[strouhal], 0.475, 0.001},
		{"14 distance per kick of that sample", strange[kickLength], 0.947, 0.001},
		{"16 flutter distance per kick", Length(0.8, 1.6), 0.50, 0.01},
	} {
		if !(math.Abs(c.got-c.want) <= c.tol) {
			t.Errorf("%s: %.4f, want %.4f +- %.4f", c.name, c.got, c.want, c.tol)
		}
	}
}

// Checks 15, 17 and 18: slender-body efficiency against published wave speeds and
// in closed form (reference notes d3).
//
//	W04 E03  Zamparo et al. 2002, J Exp Biol 205:2665-2676: c = 2.33 KF, 0.61
//	E05      Zamparo et al. 2006: 0.62
//	E01      Shimojo et al. 2019, J Sports Sci (secondary quotation): 0.77
func TestSlenderBodyEfficiency(t *testing.T) {
	c := 2.33 * 1.6
	if math.Abs(c-3.728) > 5e-4 {
		t.Errorf("wave speed %.4f", c)
	}
	for _, k := range []struct {
		name           string
		got, want, tol float64
	}{
		{"15 flutter at 0.8 m/s", SlenderBodyEfficiency(0.8 / c), 0.607, 0.0005},
		{"15 against printed 0.61", SlenderBodyEfficiency(0.8 / c), 0.61, 0.015},
		{"15 against printed 0.62", SlenderBodyEfficiency(0.8 / c), 0.62, 0.015},
		{"17 c/v 1.5", SlenderBodyEfficiency(1 / 1.5), 0.8333, 1e-4},
		{"17 c/v 2.0", SlenderBodyEfficiency(1 / 2.0), 0.7500, 1e-4},
		{"17 c/v 2.8", SlenderBodyEfficiency(1 / 2.8), 0.6786, 1e-4},
		{"18 c/v 1.852", SlenderBodyEfficiency(1 / 1.852), 0.77, 1e-4},
	} {
		if math.Abs(k.got-k.want) > k.tol {
			t.Errorf("%s: %.4f, want %.4f", k.name, k.got, k.want)
		}
	}
}
