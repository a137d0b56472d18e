package practice

import (
	"cmp"
	"reflect"
	"slices"

	"underkick/internal/record"
)

// Station is a place at the pool where swimmers do the same drill.
type Station struct {
	Drill record.Drill
	Given []record.Given // who, with the dose of each; in the order they came in
}

// Kit is equipment and for how many swimmers.
type Kit struct {
	Name string
	For  int
}

// Stations groups what swimmers practise by drill: same text, same station. What
// is not practised on the day is left out. Dry land comes first, then under water
// while the swimmers are fresh, then at the surface (common practice, no source);
// within a place by what it serves, then by step and title.
func Stations(given []record.Given, on record.Date) []Station {
	var list []Station
	for _, g := range given {
		if !g.Practised(on) {
			continue
		}
		at := slices.IndexFunc(list, func(s Station) bool { return reflect.DeepEqual(s.Drill, g.Drill) })
		if at < 0 {
			at = len(list)
			list = append(list, Station{Drill: g.Drill})
		}
		list[at].Given = append(list[at].Given, g)
	}
	places := []record.Place{record.DryLand, record.UnderWater, record.AtSurface}
	slices.SortStableFunc(list, func(a, b Station) int {
		return cmp.Or(
			slices.Index(places, a.Drill.Place)-slices.Index(places, b.Drill.Place),
			slices.Index(record.AllServes(), a.Drill.Serves)-slices.Index(record.AllServes(), b.Drill.Serves),
			a.Drill.Step-b.Drill.Step, cmp.Compare(a.Drill.Title, b.Drill.Title))
	})
	return list
}

// Equipment lists what stations need, by name.
func Equipment(stations []Station) []Kit {
	var kit []Kit
	for _, s := range stations {
		if s.Drill.Equipment == "" {
			continue
		}
		at := slices.IndexFunc(kit, func(k Kit) bool { return k.Name == s.Drill.Equipment })
		if at < 0 {
			at = len(kit)
			kit = append(kit, Kit{Name: s.Drill.Equipment})
		}
		kit[at].For += len(s.Given)
	}
	slices.SortFunc(kit, func(a, b Kit) int { return cmp.Compare(a.Name, b.Name) })
	return kit
}
