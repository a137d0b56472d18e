package record

import (
	"regexp"
	"strings"
)

// The fence: words that make an aim or a contest of time or distance without
// breathing. It is no proof; the count of kicks, the rest and the cautions carry
// the weight. Patterns are held against text as plainText makes it.
var (
	// noAir asks not to breathe; nothing before it makes that right.
	noAir = regexp.MustCompile(strings.Join([]string{
		`\bno (?:more |further )?(?:breaths?|breathing|air)\b`,
		`\bwithout (?:a |any |one |taking |coming up for |fresh |single )*(?:breaths?|breathing|air)\b`,
		`\b(?:do not|don t|dont|not|never|stop|avoid|skip|delay|resist|forbid|zero|0) (?:to |any )?(?:breathe|breathing|breaths?)\b`,
		`\b(?:on|in|with|per) (?:just |only )?(?:one|1|a single|a|the same) breath\b`,
		`\bbreath(?:e|es|ing|s)? (?:only )?every (?:[a-z0-9]+ ){1,2}?(?:strokes?|kicks?|lengths?|laps?|widths?)\b`,
		`\b(?:fewer|less|restricted|reduced|limited) (?:breaths?|breathing|air)\b`, `\bbreathe less\b`, `\bbreath(?:ing)? control\b`,
		`\bno breathers?\b`, `\b(?:one|1|single|two|2) breaths? (?:a|per|each|every) (?:length|lap|width|\d+)`, `\bbreathe? (?:in |on )?\d+ \d+ \d+\b`,
		`\b(?:without|no) (?:surfacing|coming up)\b`, `\b(?:do not|don t|dont|never) (?:come up|surface)\b`,
	}, "|"))

	// airless makes an aim of it; told not to, it is a caution.
	airless = regexp.MustCompile(strings.Join([]string{
		`hypoxi[a-z]*`, `hyperventil[a-z]*`, `\bapno?ea`, `\blung ?busters?`, `\blungs? (?:burn|scream|empty)`, `\bempty lungs?\b`, `\bover unders?\b`, `\bair hunger`, `\bout of (?:air|breath)\b`,
		`\bh(?:o|e)lds? (?:(?:your|the|his|her|their|a|our|my|that) )?(?:\w+ )?breath`, `\bholding (?:(?:your|the|his|her|their|a|our|my|that) )?(?:\w+ )?breath`,
		`\bbreath ?(?:hold|held)[a-z]*`, `\bbreathholds?`,
		`\burge to breathe\b`, `\buntil (?:\w+ ){0,3}(?:needs?|must|have to|has to) (?:to )?(?:breathe|have air|air|come up)\b`,
		`\bas (?:far|long|deep|many(?: [a-z]+)?) as (?:you|they|he|she|we|one|the swimmer|possible|can|ever)\b`,
		`\b(?:longest|furthest|farthest|deepest)\b`, `\bmax(?:imum|imal)? (?:under ?water |breath )?(?:distance|time|length|under|breath)`,
		`\b(?:beat|break|better) (?:your|the|his|her|their|last|old)(?: \w+)? (?:record|best|time|distance|mark|length)\b`, `\bpersonal best\b`,
		`\bwho (?:stays|goes|gets|swims|lasts|holds|can stay|can go|comes up last)\b`, `\b(?:contest|winner|wins|prize)\b`, `\blast (?:one )?(?:to come )?up\b`,
		`\b(?:stay|stays|staying|remain|remains|remaining|last|lasting) (?:\w+ )?(?:down|under|below|submerged|underwater)\b`,
		`\b\d+ ?(?:m|metres?|meters?|yards?|yds?|s|secs?|seconds?|min|minutes?) (?:all |wholly |completely |entirely )?(?:under|underwater|below|submerged|down)\b`,
		`\b(?:under|underwater|under water|submerged|below|down) (?:the water )?(?:for )?(?:at least |about |up to |all |over )*\d+ ?(?:m|metres?|meters?|yards?|yds?|s|secs?|seconds?|min|minutes?)\b`,
		`\b(?:metres|meters|yards|seconds|minutes|lengths?|laps?|widths?|distance|time) (?:of the pool )?(?:all |wholly |completely |entirely )?(?:under|underwater|submerged|below the surface)\b`,
		`\b(?:underwater|under water|submerged) (?:distance|time|lengths?|laps?|widths?|pools?)\b`,
		`\b(?:under|underwater|under water|submerged) (?:to|until|till) (?:the )?(?:other|far|opposite|end|wall)\b`,
		`\b(?:longer|further|farther|deeper) (?:under|below|down|every|each)\b`, `\b(?:go|goes|get|gets|swim|swims|glide|glides|last|lasts) (?:longer|further|farther|deeper) than\b`,
	}, "|"))

	// underWaterWords tell that a drill takes place under water.
	underWaterWords = regexp.MustCompile(`\b(?:underwater|under water|below the surface|under the surface|submerged?|dive down|push off under)\b`)

	// farUnderWater makes a distance the end of a repeat under water.
	farUnderWater = regexp.MustCompile(`\b(?:to|until|till|reach|reaches|past|beyond|make) (?:the |at least )?(?:\d+ ?(?:m|metres?|meters?|yards?|yds?)\b|flags\b|far wall\b|other wall\b|far end\b|other end\b|far side\b|other side of the pool\b)`)

	clauses = regexp.MustCompile(`[.;:,!?()]+`)
	forbids = regexp.MustCompile(`^(?:never|no|do not|don t|nobody) $`)
)

// Airless returns the first words in texts that make an aim of time or distance
// without breathing, "" where there are none. Case, marks between words, accents
// and letters of other scripts that look alike make no difference. A clause that
// begins by forbidding the thing ("never hold your breath") is none.
func Airless(texts ...string) string {
	for _, text := range texts {
		for _, clause := range clauses.Split(text, -1) {
			plain := plainText(clause)
			if found := noAir.FindString(plain); found != "" {
				return found
			}
			if at := airless.FindStringIndex(plain); at != nil && !forbids.MatchString(plain[:at[0]]) {
				return plain[at[0]:at[1]]
			}
		}
		// a break between the words hides nothing
		if found := noAir.FindString(plainText(text)); found != "" {
			return found
		}
	}
	return ""
}
