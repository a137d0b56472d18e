package poolside

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/practice"
)

// colemanLiau is the school grade (USA) at which a text reads: 0.0588 L - 0.296 S - 15.8 with
// letters L and sentences S per 100 words (Coleman & Liau 1975, Journal of Applied Psychology
// 60:283-284, the form in which it is usually printed).
func colemanLiau(text string) float64 {
	words, sentences, letters := counted(text)
	return 0.0588*100*letters/words - 0.296*100*sentences/words - 15.8
}

// fleschKincaid is the grade 0.39 W/S + 11.8 Syl/W - 15.59 (Kincaid, Fishburne, Rogers & Chissom
// 1975, Naval Technical Training Command, Research Branch Report 8-75). Syllables are groups of
// vowels without a silent e, our own rule of thumb.
func fleschKincaid(text string) float64 {
	words, sentences, _ := counted(text)
	syllables := 0.0
	for _, w := range wordPattern.FindAllString(text, -1) {
		syllables += syllablesOf(strings.ToLower(w))
	}
	return 0.39*words/sentences + 11.8*syllables/words - 15.59
}

var (
	wordPattern  = regexp.MustCompile(`[A-Za-z'-]+|[0-9][0-9.]*`)
	vowelPattern = regexp.MustCompile(`[aeiouy]+`)
)

func syllablesOf(w string) float64 {
	n := len(vowelPattern.FindAllString(w, -1))
	if strings.HasSuffix(w, "e") && !strings.HasSuffix(w, "le") && n > 1 {
		n--
	}
	return float64(max(n, 1))
}

func counted(text string) (words, sentences, letters float64) {
	for _, w := range wordPattern.FindAllString(text, -1) {
		words++
		letters += float64(len(strings.Trim(w, "'-.")))
	}
	sentences = float64(len(regexp.MustCompile(`[.?!:](\s|$)`).FindAllString(text, -1)))
	return words, max(sentences, 1), letters
}

// The abstract with which the formula is usually shown (an abstract of a paper on readability,
// 119 words, 5 sentences, 639 letters; text and result 14.5 from memory) is not repeated here;
// its counts are: 639/119 letters, 5/119 sentences.
func TestColemanLiauArithmetic(t *testing.T) {
	if got := 0.0588*100*639/119 - 0.296*100*5.0/119 - 15.8; math.Abs(got-14.5) > 0.05 {
		t.Errorf("the formula as coded gives %.2f for the published counts, want 14.5", got)
	}
	text := "The cat sat on the mat. It was warm." // 9 words, 2 sentences, 26 letters
	if w, s, l := counted(text); w != 9 || s != 2 || l != 26 {
		t.Errorf("counted %g words, %g sentences, %g letters", w, s, l)
	}
	if got, want := colemanLiau(text), 0.0588*100*26/9-0.296*100*2/9.0-15.8; math.Abs(got-want) > 1e-9 {
		t.Errorf("%.3f, want %.3f", got, want)
	}
}

// jargon are words of ours and of the science that a sheet must not use.
var jargon = regexp.MustCompile(`(?i)\b(facing|sweep|build|limiter|shank|downkick|upkick|phase|Strouhal|amplitude|plantar\w*|finding|measure[sd]?|estimate|streamline|hypervent\w*|blackout)\b`)

// every text that a sheet can hold: all kinds of finding, all drills, all cautions.
func sheetTexts() map[string]string {
	texts := map[string]string{"cautions": strings.Join(SheetCautions(), " ")}
	add := func(name string, f *limit.Finding) { texts[name] = strings.Join(sheetSaw(f), " ") }
	add("too few", &limit.Finding{Kind: limit.TooFew})
	add("none", &limit.Finding{Kind: limit.NoneOut})
	add("none, in doubt", &limit.Finding{Kind: limit.NoneOut, Doubt: "x"})
	for q := range plainThing {
		add("worth "+q, &limit.Finding{Kind: limit.Worthy, Quality: q, Practice: "facing"})
		for _, half := range []string{"", "_upkick"} {
			for _, v := range []limit.Verdict{limit.Higher, limit.Lower} {
				id := q + half
				add(fmt.Sprintf("changed %s %s", id, v), &limit.Finding{
					Kind: limit.Changed, Quality: q, Evidence: limit.Evidence{Measure: id},
					Changes: []limit.Change{{Measure: id, Verdict: v, When: "29 August 2026"}},
				})
			}
		}
	}
	for id := range plainMeasure {
		for _, s := range []limit.Standing{limit.Below, limit.Above} {
			add(fmt.Sprintf("out %s %v", id, s), &limit.Finding{
				Kind: limit.OutOfLine, Evidence: limit.Evidence{Measure: id},
				Context: []limit.Comparison{{Measure: kick.Measure{ID: id}, Standing: s}},
			})
		}
	}
	for serves, why := range plainWhy {
		texts["why "+string(serves)] = strings.Join(why, " ")
	}
	for m := range plainMoment {
		texts["picture "+m] = strings.Join(sheetKey(m, true), " ")
	}
	for _, id := range []string{"facing", "sweep", "kick_frequency", "knee_flexion_max", "speed"} {
		r := &kick.Result{Summary: []kick.Measure{{ID: id, Value: 0.52, Low: 0.45, High: 0.6}}}
		texts["number "+id] = strings.Join(sheetNumber(&limit.Finding{Evidence: limit.Evidence{Measure: id}}, r), " ")
	}
	for _, d := range practice.Library() {
		dose := d.Doses[0]
		texts["drill "+d.ID] = plainly.Replace(d.Title) + ". " + strings.Join(sheetSteps(d), " ") + " " + sheetDose(d, dose)
	}
	return texts
}

// A text of its own may read a little harder than the whole sheet; a sheet as a whole is read
// by a child of twelve: grade 6 of school.
func TestSheetsReadAtTwelve(t *testing.T) {
	const most, mostAlone = 6.0, 8.0
	all, words := "", 0.0
	worstName, worst := "", 0.0
	for name, text := range sheetTexts() {
		if text == "" {
			t.Errorf("%s: nothing is said", name)
			continue
		}
		cl, fk := colemanLiau(text), fleschKincaid(text)
		if cl > mostAlone || fk > mostAlone {
			t.Errorf("%s reads at grade %.1f (Coleman-Liau), %.1f (Flesch-Kincaid): %s", name, cl, fk, text)
		}
		if cl > worst {
			worstName, worst = name, cl
		}
		if w := jargon.FindString(text); w != "" {
			t.Errorf("%s says %q: %s", name, w, text)
		}
		all += text + " "
		n, _, _ := counted(text)
		words += n
	}
	cl, fk := colemanLiau(all), fleschKincaid(all)
	t.Logf("%.0f words of %d texts: Coleman-Liau %.1f, Flesch-Kincaid %.1f; hardest %s %.1f", words, len(sheetTexts()), cl, fk, worstName, worst)
	if cl > most || fk > most {
		t.Errorf("all texts together read at grade %.1f (Coleman-Liau), %.1f (Flesch-Kincaid); at most %.0f", cl, fk, most)
	}
}

// The plain cautions must hold everything that the full ones do.
func TestSheetCautionsSayAll(t *testing.T) {
	text := strings.Join(SheetCautions(), " ")
	for about, pattern := range map[string]string{
		"it kills": "killed good swimmers", "without warning": "no sign", "never alone": "Never .* on your own",
		"lifeguard": "trained lifeguard .* ready", "hyperventilation": "quick, deep breaths first", "maximal breath-holds": "how long or how often",
		"recovery": "until your breath is calm", "urge to breathe": "need air, .*Come up", "dizziness": "dizzy", "joints": "do not force", "partner": "No one may push", "pain": "Stop if it hurts",
		"rules": "rules of the pool.*law come first", "medical": "doctor",
	} {
		if !regexp.MustCompile(pattern).MatchString(text) {
			t.Errorf("%s: %q is not said in %s", about, pattern, text)
		}
	}
}
