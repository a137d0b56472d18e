package film

import (
	"regexp"
	"strconv"
	"strings"
)

// shown is what the showinfo filter says of one picture.
type shown struct {
	n      int
	pts    int64
	hasPTS bool
	key    bool
	intra  bool // coded on its own
	width  int
	height int
}

// shownStart is how what showinfo says of a picture begins.
var shownStart = regexp.MustCompile(`n: *[0-9]+ +pts: *\S+ +pts_time:`)

// parseShown reads a log line of the showinfo filter about a picture, such as
//
//	[Parsed_showinfo_1 @ 0x5586] n:   1 pts:    256 pts_time:0.0166667 ... s:640x360 i:P iskey:0 type:B
//
// ok is false for every other line. The name in front may be missing and other
// text be there instead: several threads write into one log, and a message that
// comes while another has not ended its line gets no name. Fields may come in
// any order after the time and new ones may be among them; s must be there.
func parseShown(line string) (f shown, ok bool) {
	if !strings.Contains(line, "pts_time:") {
		return f, false
	}
	at := shownStart.FindStringIndex(line)
	if at == nil {
		return f, false
	}
	rest := line[at[0]:]
	haveN, haveSize := false, false
	fields(rest, func(key, value string) {
		switch key {
		case "n":
			n, err := strconv.Atoi(value)
			f.n, haveN = n, err == nil && n >= 0
		case "pts":
			pts, err := strconv.ParseInt(value, 10, 64)
			f.pts, f.hasPTS = pts, err == nil
		case "iskey":
			f.key = value == "1"
		case "type":
			f.intra = value == "I"
		case "s":
			f.width, f.height, haveSize = parseSize(value)
		}
	})
	return f, haveN && haveSize
}

// fields calls fn for each "key:value" of s; blanks may follow the colon.
func fields(s string, fn func(key, value string)) {
	words := strings.Fields(s)
	for k := 0; k < len(words); k++ {
		key, value, ok := strings.Cut(words[k], ":")
		if !ok {
			continue
		}
		if value == "" && k+1 < len(words) && !strings.Contains(words[k+1], ":") {
			k++
			value = words[k]
		}
		fn(key, value)
	}
}

func parseSize(s string) (w, h int, ok bool) {
	a, b, found := strings.Cut(s, "x")
	w, err1 := strconv.Atoi(a)
	h, err2 := strconv.Atoi(b)
	return w, h, found && err1 == nil && err2 == nil && w > 0 && h > 0 && w <= 1<<15 && h <= 1<<15
}

// parseClock reads the showinfo line "config in time_base: 1/15360, ...",
// which gives the unit of the pts of the lines that follow.
func parseClock(line string) (Ratio, bool) {
	_, rest, ok := strings.Cut(line, "config in time_base: ")
	if !ok || !strings.Contains(line, "[Parsed_showinfo_") {
		return Ratio{}, false
	}
	value, _, _ := strings.Cut(rest, ",")
	r := parseRatio(strings.TrimSpace(value))
	return r, r.Num > 0
}

// damageWords are what decoders say when a picture is not as it was filmed.
var damageWords = []string{
	"concealing", "corrupt decoded frame", "error while decoding", "error decoding",
	"could not find ref with poc", "reference picture missing", "invalid nal unit size",
	"packet corrupt", "corrupt input packet",
}

// tellsDamage reports whether a log line says that a picture near it is wrong.
func tellsDamage(line string) bool {
	lower := strings.ToLower(line)
	for _, w := range damageWords {
		if strings.Contains(lower, w) {
			return true
		}
	}
	return false
}
