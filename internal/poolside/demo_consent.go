package poolside

import (
	"context"

	"underkick/internal/record"
)

// demoConsentDays is how long the consent lasts that is about to end, days.
const demoConsentDays = 18

// demoConsents are what was given for the invented swimmers, in their order: all of it for
// most, not everything for two, so that the pages can show what they refuse. The last one's
// ends some weeks after the day on which the demo is loaded.
func demoConsents(day record.Date) []record.Consent {
	const first, last = "2026-08-29", "2027-08-28"
	ending := max(day.AddDays(demoConsentDays), "2026-11-30")
	filming, squad, all := []record.Purpose{record.ForFilming}, []record.Purpose{record.ForFilming, record.ForSquad}, record.Purposes()
	return []record.Consent{
		{GivenBy: "Mira Tallow", As: record.BySwimmer, On: first, For: all},
		{GivenBy: "Joren Pike", As: record.BySwimmer, On: first, For: all},
		{GivenBy: "Rana Quill", As: record.ByParent, On: first, Until: last, For: all, Notes: "Signed paper in the club's folder."},
		{GivenBy: "Hedda Oxley", As: record.ByParent, On: first, Until: last, For: squad},
		{GivenBy: "Tessa Varn", As: record.BySwimmer, On: first, For: all},
		{GivenBy: "Ole Marsh", As: record.ByParent, On: first, Until: ending, For: filming},
	}
}

// consents records the demo's consents, where a swimmer has none yet, and an earlier height
// of the youngest.
func (l *demoLoader) consents(ctx context.Context) error {
	a := l.app
	for i, c := range demoConsents(record.Date(today())) {
		c.SwimmerID = l.swimmers[i].ID
		have, err := a.store.Consents(ctx, c.SwimmerID)
		if err != nil {
			return err
		}
		if len(have) > 0 {
			continue
		}
		if _, err := a.store.AddConsent(ctx, c); err != nil {
			return err
		}
		if l.swimmers[i].BirthYear >= 2012 {
			earlier := record.Growth{SwimmerID: c.SwimmerID, On: "2026-02-14", HeightM: 1.57, MassKg: 47}
			if err := a.store.KeepGrowth(ctx, earlier); err != nil {
				return err
			}
		}
	}
	return nil
}
