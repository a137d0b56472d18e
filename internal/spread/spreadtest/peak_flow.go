// Package spreadtest holds published repeats against which tests check scatter.
package spreadtest

// PeakFlow is the peak expiratory flow of 20 schoolchildren, four times each, l/min
// (Bland and Altman, Statistics notes: Measurement error, BMJ 312:1654, 1996; corrected
// 313:744): within-subject variance 460.52, so 21.5 l/min with 60 degrees of freedom,
// and a repeatability of 2.77 x 21.5 = 60 l/min.
func PeakFlow() [][]float64 {
	return [][]float64{
		{190, 220, 200, 200},
		{220, 200, 240, 230},
		{260, 260, 240, 280},
		{210, 300, 280, 265},
		{270, 265, 280, 270},
		{280, 280, 270, 275},
		{260, 280, 280, 300},
		{275, 275, 275, 305},
		{280, 290, 300, 290},
		{320, 290, 300, 290},
		{300, 300, 310, 300},
		{270, 250, 330, 370},
		{320, 330, 330, 330},
		{335, 320, 335, 375},
		{350, 320, 340, 365},
		{360, 320, 350, 345},
		{330, 340, 380, 390},
		{335, 385, 360, 370},
		{400, 420, 425, 420},
		{430, 460, 480, 470},
	}
}
