package limit

import (
	"fmt"
	"slices"
	"strings"

	"underkick/internal/body"
)

// cannotTell lists what the clip or the records cannot tell, the clip's own
// shortcomings first, each once.
func cannotTell(in Input, f *Finding) []string {
	var list []string
	say := func(text string) {
		if text != "" && !slices.Contains(list, text) {
			list = append(list, text)
		}
	}
	for _, text := range withheld(in) {
		say(text)
	}
	for _, text := range f.NoChanges {
		say(text)
	}
	say(f.GroupNote)
	if f.Group != NoGroup && in.Person.Sex == body.SexUnknown {
		say("State the sex. Until then both sexes' published values are shown.")
	}
	say("Nothing is published on facing and build. The swimmer's own best kick is the reference.")
	if len(f.Changes) > 0 && anyBorrowed(f.Changes) {
		say(fmt.Sprintf("The squad has too few repeated runs for its own typical error. %.2f %% is borrowed from skilled men (%s); facing and build were not measured there.",
			100*BorrowedError, BorrowedSource.Cite()))
	}
	switch w := in.Worth; {
	case w == nil:
		say("What a change of a quality would be worth in speed is not estimated.")
	case w.Refused:
		say("What a change of a quality would be worth in speed is not estimated. " + w.Reason)
	case w.Reference == "step":
		say("Without a better run of the same swimmer nothing tells which quality this kick lost. Name one as the reference.")
	}
	return list
}

// withheld tells which measures have no value and why, those with one reason
// together.
func withheld(in Input) []string {
	var texts []string
	byText := map[string][]string{}
	for _, m := range in.Now.Result.Summary {
		for _, r := range m.Reasons {
			if !r.Withheld {
				continue
			}
			if _, seen := byText[r.Text]; !seen {
				texts = append(texts, r.Text)
			}
			byText[r.Text] = append(byText[r.Text], Name(m.ID))
			break
		}
	}
	for i, t := range texts {
		texts[i] = fmt.Sprintf("Not known: %s. %s", some(byText[t], 4), t)
	}
	return texts
}

// some lists the first few names.
func some(names []string, most int) string {
	if len(names) <= most {
		return strings.Join(names, "; ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:most], "; "), len(names)-most)
}

func anyBorrowed(list []Change) bool {
	return slices.ContainsFunc(list, func(c Change) bool { return c.Borrowed })
}

// cautions lists what applies to every reading of the finding.
func cautions(in Input, f *Finding) []string {
	list := []string{"Facing depends on how alike ankle and toe are marked. Compare it only with runs that the same person marked."}
	if fold(in.Now.Conditions.Position) == "supine" || in.Now.Result.Line.Supine {
		list = append(list, "Kicking on the back is measured by symmetry only; nothing was validated for it.")
	}
	if s := fold(in.Now.Conditions.Start); s == "push-off" || s == "dive" {
		list = append(list, fmt.Sprintf("The run began with a %s. Speed may still hold some of it.", s))
	}
	if in.Worth != nil && !in.Worth.Refused {
		list = append(list, "What a quality is worth is a model's estimate for comparing kicks of one swimmer, no measurement and no promise.")
	}
	if f.Group != NoGroup {
		list = append(list, "Published ranges rest on small samples. They are no norm for one swimmer.")
	}
	return list
}
