package record

import (
	"errors"
	"math/rand/v2"
	"slices"
	"testing"
)

// A swimmer born in 2011 is a minor through 2029; one born in 2000 is of age.
func TestWhoMayAllowWhat(t *testing.T) {
	parent := Consent{SwimmerID: "w", GivenBy: "Ada Holm", As: ByParent, On: "2026-03-01", For: []Purpose{ForFilming, ForSquad}}
	own := Consent{SwimmerID: "w", GivenBy: "Mira Holm", As: BySwimmer, On: "2026-03-01", For: []Purpose{ForFilming, ForOutside}}
	with := func(c Consent, change func(*Consent)) Consent { change(&c); return c }
	for _, c := range []struct {
		name    string
		born    int
		consent Consent
		purpose Purpose
		on      Date
		want    bool
	}{
		{"a parent's for a minor", 2011, parent, ForFilming, "2026-03-09", true},
		{"on its first day", 2011, parent, ForFilming, "2026-03-01", true},
		{"the day before", 2011, parent, ForFilming, "2026-02-28", false},
		{"not for that", 2011, parent, ForOutside, "2026-03-09", false},
		{"a minor's own", 2011, own, ForFilming, "2026-03-09", false},
		{"year of birth not known, parent's", 0, parent, ForSquad, "2026-03-09", true},
		{"year of birth not known, own", 0, own, ForFilming, "2026-03-09", false},
		{"of age, own", 2000, own, ForOutside, "2026-03-09", true},
		{"of age, a parent's", 2000, parent, ForFilming, "2026-03-09", false},
		{"in the year of the 18th birthday, own", 2008, own, ForFilming, "2026-12-31", false},
		{"in the year of the 18th birthday, parent's", 2008, parent, ForFilming, "2026-12-31", true},
		{"a parent's after that year", 2008, parent, ForFilming, "2027-01-01", false},
		{"a minor's own, used when of age", 2008, own, ForFilming, "2027-01-01", false},
		{"on its last day", 2011, with(parent, func(c *Consent) { c.Until = "2026-06-30" }), ForFilming, "2026-06-30", true},
		{"after its last day", 2011, with(parent, func(c *Consent) { c.Until = "2026-06-30" }), ForFilming, "2026-07-01", false},
		{"the day before it was withdrawn", 2011, with(parent, func(c *Consent) { c.Withdrawn = "2026-05-02" }), ForSquad, "2026-05-01", true},
		{"on the day it was withdrawn", 2011, with(parent, func(c *Consent) { c.Withdrawn = "2026-05-02" }), ForSquad, "2026-05-02", false},
		{"withdrawn on its first day", 2011, with(parent, func(c *Consent) { c.Withdrawn = c.On }), ForSquad, "2026-03-01", false},
		{"on no day", 2011, parent, ForFilming, "", false},
		{"on a day that is none", 2011, parent, ForFilming, "2026-02-30", false},
		{"for nothing we know", 2011, parent, "sale", "2026-03-09", false},
	} {
		if err := c.consent.Validate(); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
		if got := Allowed(c.born, []Consent{c.consent}, c.purpose, c.on); got != c.want {
			t.Errorf("%s: allowed %v", c.name, got)
		}
	}
	if Allowed(2011, nil, ForFilming, "2026-03-09") {
		t.Error("allowed without any consent")
	}
}

func TestConsentFaults(t *testing.T) {
	good := Consent{SwimmerID: "w", GivenBy: "Ada Holm", As: ByParent, On: "2026-03-01", For: []Purpose{ForFilming}}
	for field, change := range map[string]func(*Consent){
		"swimmer":   func(c *Consent) { c.SwimmerID = "" },
		"given_by":  func(c *Consent) { c.GivenBy = " " },
		"as":        func(c *Consent) { c.As = "coach" },
		"on":        func(c *Consent) { c.On = "" },
		"until":     func(c *Consent) { c.Until = "2026-02-01" },
		"for":       func(c *Consent) { c.For = nil },
		"withdrawn": func(c *Consent) { c.Withdrawn = "2026-02-01" },
		"notes":     func(c *Consent) { c.Notes = "a\x00" },
	} {
		bad := good
		change(&bad)
		var faults Faults
		if err := bad.Validate(); !errors.As(err, &faults) || len(faults) != 1 || faults[0].Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
	for _, purposes := range [][]Purpose{{"sale"}, {ForSquad, ForSquad}} {
		bad := good
		bad.For = purposes
		var faults Faults
		if err := bad.Validate(); !errors.As(err, &faults) || faults.For("for") == "" {
			t.Errorf("%v: %v", purposes, err)
		}
	}
}

// randomConsents draws consents of one swimmer with every mixture of givers, ends
// and withdrawals.
func randomConsents(rng *rand.Rand) []Consent {
	day := func() Date { return Date("2020-01-01").AddDays(rng.IntN(4000)) }
	list := make([]Consent, rng.IntN(6))
	for i := range list {
		c := Consent{SwimmerID: "w", GivenBy: "x", As: Givers()[rng.IntN(2)], On: day()}
		for _, p := range Purposes() {
			if rng.IntN(2) == 0 {
				c.For = append(c.For, p)
			}
		}
		if rng.IntN(2) == 0 {
			c.Until = c.On.AddDays(rng.IntN(1500))
		}
		if rng.IntN(2) == 0 {
			c.Withdrawn = c.On.AddDays(rng.IntN(1500))
		}
		list[i] = c
	}
	return list
}

// Property: what is withdrawn or has ended never allows, whatever else is true, and
// taking consents away never allows more.
func TestWithdrawnOrEndedNeverAllows(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	allowed := 0
	for range 20000 {
		list, born := randomConsents(rng), []int{0, 1990, 2004, 2008, 2015}[rng.IntN(5)]
		p, on := Purposes()[rng.IntN(3)], Date("2020-01-01").AddDays(rng.IntN(5500))
		live := slices.DeleteFunc(slices.Clone(list), func(c Consent) bool {
			return c.Until != "" && on > c.Until || c.Withdrawn != "" && on >= c.Withdrawn || on < c.On
		})
		got := Allowed(born, list, p, on)
		if got != Allowed(born, live, p, on) {
			t.Fatalf("born %d, %s on %s: an ended or withdrawn one decides: %+v", born, p, on, list)
		}
		if got {
			allowed++
			right := GiverOf(born, on)
			if !slices.ContainsFunc(live, func(c Consent) bool { return c.As == right && slices.Contains(c.For, p) }) {
				t.Fatalf("born %d, %s on %s: nobody who may allow it did: %+v", born, p, on, list)
			}
		}
		for i := range list {
			if !got && Allowed(born, slices.Delete(slices.Clone(list), i, i+1), p, on) {
				t.Fatalf("one consent fewer allows more: %+v", list)
			}
		}
	}
	if allowed < 1000 {
		t.Fatalf("only %d of 20000 draws were allowed; the test shows little", allowed)
	}
}

// AllowedUntil against a walk day by day.
func TestAllowedUntilIsTheDayBeforeTheFirstThatIsNot(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	const far = 9000 // days; beyond all ends that are drawn
	for range 300 {
		list, born := randomConsents(rng), []int{0, 1990, 2008, 2015}[rng.IntN(4)]
		p, on := Purposes()[rng.IntN(3)], Date("2020-01-01").AddDays(rng.IntN(4000))
		until, ok := AllowedUntil(born, list, p, on)
		if ok != Allowed(born, list, p, on) {
			t.Fatalf("%v, but allowed is %v", ok, !ok)
		}
		if !ok {
			continue
		}
		last, day := on, on
		for i := 0; i < far && Allowed(born, list, p, day); i++ {
			last, day = day, day.AddDays(1)
		}
		if Allowed(born, list, p, day) {
			last = ""
		}
		if until != last {
			t.Fatalf("born %d, %s from %s: until %q, want %q: %+v", born, p, on, until, last, list)
		}
	}
}

func TestMonthsLater(t *testing.T) {
	for _, c := range []struct {
		from Date
		n    int
		want Date
	}{
		{"2026-01-31", 1, "2026-02-28"},
		{"2024-01-31", 1, "2024-02-29"},
		{"2026-11-25", 3, "2027-02-25"},
		{"2026-11-25", 0, "2026-11-25"},
		{"2026-12-31", 24, "2028-12-31"},
		{"", 3, ""},
	} {
		if got := c.from.AddMonths(c.n); got != c.want {
			t.Errorf("%s + %d months = %s, want %s", c.from, c.n, got, c.want)
		}
	}
}
