package poolside

import (
	"context"
	"fmt"
	"strings"

	"underkick/internal/record"
)

// name labels two runs: by day where they are of one swimmer, else by name. What leaves the
// squad carries pseudonyms alone.
func (p *clipPlan) name(ctx context.Context) {
	if len(p.panels) < 2 {
		return
	}
	list := make([]comparedRun, len(p.panels))
	for i, panel := range p.panels {
		w := panel.rc.Swimmer
		list[i].ComparedRun = ComparedRun{Swimmer: w, Name: p.app.ShownName(ctx, w), When: longDate(panel.rc.Visit.On)}
		if p.spec.Audience == record.OutsideSquad {
			list[i].Name = w.Pseudonym
			if w.Pseudonym == "" {
				list[i].Name = "Swimmer " + string(rune('A'+i))
			}
		}
	}
	nameRuns(list)
	p.named = !oneSwimmer(list) && p.spec.Audience != record.OutsideSquad && !p.app.Pseudonyms(ctx)
	for i, panel := range p.panels {
		panel.label = list[i].Short
		if oneRun := p.panels[0].rc.Run.ID == p.panels[1].rc.Run.ID; oneRun {
			panel.label = fmt.Sprintf("from kick %d", max(p.spec.Runs[i].Kick, 1))
		}
	}
}

// facesKnown refuses a clip in which a head is to be softened that cannot be found.
func (p *clipPlan) facesKnown() error {
	if !p.spec.Soften {
		return nil
	}
	for _, panel := range p.panels {
		missing := 0
		for _, i := range panel.shown {
			if len(panel.m.softAt(i)) == 0 {
				missing++
			}
		}
		if missing > 0 {
			return inputf("on %d of %d pictures of %s neither head nor shoulder is traced, so the face cannot be softened and the clip is not made. Mark head or shoulder on some frames of the run",
				missing, len(panel.shown), longDate(panel.rc.Visit.On))
		}
	}
	return nil
}

// fileName is what a made clip is called when it is downloaded, without anybody's name.
func (p *clipPlan) fileName() string {
	parts := []string{"kick"}
	seen := map[record.Date]bool{}
	for _, panel := range p.panels {
		if on := panel.rc.Visit.On; !seen[on] {
			seen[on] = true
			parts = append(parts, string(on))
		}
	}
	if p.spec.Slow > 1 {
		parts = append(parts, fmt.Sprintf("slow%d", p.spec.Slow))
	}
	return strings.Join(parts, "-") + p.encoder.Codec.Ext()
}
