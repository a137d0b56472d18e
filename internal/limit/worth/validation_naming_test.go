package worth

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"

	"underkick/internal/body"
	"underkick/internal/swim"
)

// otherBodies are not the body that the invented kicks were made for.
var otherBodies = []body.Subject{
	{Height: 1.50, Mass: 42, Sex: body.Male}, {Height: 1.68, Mass: 60, Sex: body.Female}, {Height: 1.95, Mass: 92, Sex: body.Male},
}

// namingDraws is the number of error draws in the tables: half of them give the standard
// deviation of the rule, which is then good to a quarter.
const namingDraws = 20

// filming is one way of filming a table's swimmers.
type filming struct {
	name  string
	cam   camera
	alike bool // both runs carry the same marking offsets, and the estimate is told so
}

var filmings = []filming{
	{"clean", camera{}, true},
	{"4 mm noise, 4 mm offsets, each clip its own", camera{point: 0.004, offset: 0.004}, false},
	{"4 mm noise, 8 mm offsets, marked alike", camera{point: 0.004, offset: 0.008}, true},
	{"4 mm noise, 8 mm offsets, each clip its own", camera{point: 0.004, offset: 0.008}, false},
	{"7.7 mm noise, 3 mm offsets, 60/s, marked alike", camera{point: 0.0077, offset: 0.003, rate: 60}, true},
	{"landmark flow: 8 marks a kick, 4 mm clicks, 3 mm offsets, 60/s, marked alike", camera{point: 0.004, offset: 0.003, rate: 60, few: 8}, true},
}

var ribbed = filming{"4 mm noise, 3 mm offsets, marked alike, rib marked", camera{point: 0.004, offset: 0.003, rib: true}, true}

// tally is how often one table named what.
type tally struct {
	name                       string
	faulty, right, silent      int // runs with a fault that should be named, named rightly, not named
	wrong, sound, invented, no int // named for another fault; runs without such a fault, of them named all the same; refused
}

func (s *tally) add(right, limiter string, refused bool) {
	if right == "none" {
		s.sound++
	} else {
		s.faulty++
	}
	switch {
	case refused:
		s.no++
	case right == "none" && limiter != "none":
		s.invented++
	case right == "none":
	case limiter == right:
		s.right++
	case limiter == "none":
		s.silent++
	default:
		s.wrong++
	}
}

// tallied sums all naming tables up: what matters most is how rarely a wrong quality is named.
func tallied(all []tally) string {
	var b strings.Builder
	b.WriteString("### All tables together: false names\n\nA false name is a quality named for the fault of another, or where no quality is at fault.\n\n")
	heading(&b, "table", "right", "nothing named", "another named", "named without a fault", "refused")
	var sum tally
	line := func(s tally) {
		row(&b, s.name, fmt.Sprintf("%d of %d", s.right, s.faulty), strconv.Itoa(s.silent), strconv.Itoa(s.wrong), fmt.Sprintf("%d of %d", s.invented, s.sound), strconv.Itoa(s.no))
	}
	for _, s := range all {
		line(s)
		sum.faulty, sum.right, sum.silent, sum.wrong = sum.faulty+s.faulty, sum.right+s.right, sum.silent+s.silent, sum.wrong+s.wrong
		sum.sound, sum.invented, sum.no = sum.sound+s.sound, sum.invented+s.invented, sum.no+s.no
	}
	sum.name = "together"
	line(sum)
	b.WriteString("\n")
	return b.String()
}

// namingTables are the slow part of docs/validation.md.
func namingTables(t *testing.T) string {
	var b strings.Builder
	fmt.Fprintf(&b, "## 4. Is the right quality named?\n\nMethod %s. Virtual swimmers with a known fault, filmed over five kicks at 120/s unless said, held against their own good\nkick filmed the same way; %d error draws. Each cell counts what was named, the right answer first. \"refused\" is an\nestimate that was not made.\n\n", Method, namingDraws)
	b.WriteString("### The faults of the model's description\n\nFlat-footed: the foot pointed 11 deg less. Cut-short: hip 7 deg less and knee 10 deg more bent at the end. Even speed:\nthe time law of the downkick four fifths of the way to uniform. Slow tempo: 7 % slower.\n\n")
	var all []tally
	for i, f := range filmings {
		kicks := goodKicks()
		if i != 1 && i != 2 {
			kicks = everyThird(kicks)
		}
		t.Logf("%s", f.name)
		fmt.Fprintf(&b, "%d kicks, %s:\n\n", len(kicks), f.name)
		table, count := namingTable(t, kicks, []body.Subject{adult}, faults, f)
		b.WriteString(table + "\n")
		all = append(all, count)
	}
	b.WriteString("### Other faults, other bodies\n\nFaults built without the pieces that the attribution uses; bodies of 1.50 m, 1.68 m (female table) and 1.95 m in turn.\nThe rushed downkick is no loss to the model: it swims faster for more power, as a late peak does. What the timing of the\npeak is worth is not resolved, and that row stays as a miss.\n\n")
	for _, i := range []int{0, 1, 2, 5} {
		t.Logf("own faults, %s", filmings[i].name)
		fmt.Fprintf(&b, "9 kicks, %s:\n\n", filmings[i].name)
		table, count := namingTable(t, everyThird(goodKicks()), otherBodies, ownFaults, filmings[i])
		count.name = "other faults, " + count.name
		b.WriteString(table + "\n")
		all = append(all, count)
	}
	t.Log("six segments")
	fmt.Fprintf(&b, "### Six segments\n\nThe same kicks with a spine wave of 5 deg at a phase of its own in each, the rib marked, the trunk bending there in the\nestimate. The last row loses the wave alone: that belongs to the rest of the kick.\n\n9 kicks, %s:\n\n", ribbed.name)
	var kicks []swim.Kick
	for i, k := range everyThird(goodKicks()) {
		kicks = append(kicks, spined(k, float64(i)/9))
	}
	table, count := namingTable(t, kicks, []body.Subject{adult}, append(append([]fault(nil), faults...), straightSpine), ribbed)
	count.name = "six segments, " + count.name
	b.WriteString(table + "\n" + tallied(append(all, count)))
	b.WriteString(otherWorlds(t))
	b.WriteString(repeatability(t))
	return b.String()
}

func everyThird(kicks []swim.Kick) (out []swim.Kick) {
	for i := 0; i < len(kicks); i += 3 {
		out = append(out, kicks[i])
	}
	return out
}

// namingTable counts what is named for each fault.
func namingTable(t *testing.T, kicks []swim.Kick, bodies []body.Subject, list []fault, f filming) (string, tally) {
	var b strings.Builder
	total := tally{name: f.name}
	heading(&b, "fault", "speed", "right answer", "named", "stated error of the right share")
	for n, fault := range list {
		named := map[string]int{}
		var change, sds []float64
		for i, k := range kicks {
			subject := bodies[i%len(bodies)]
			opt := swim.ModelOptions{}
			if f.cam.rib {
				opt.Rib = 0.55
			}
			m := swim.NewModel(subject, opt)
			good, faulty := goodAndFaulty(t, m, k, fault)
			change = append(change, 100*(faulty.Speed/good.Speed-1))
			rng := rand.New(rand.NewPCG(uint64(100+n), uint64(i)))
			cam := f.cam
			if cam.rate == 0 {
				cam.rate = 120
			}
			if f.alike {
				o := drawOffsets(cam.offset, rng)
				cam.marks = &o
			}
			own, ref := filmRun(faulty, cam, rng), filmRun(good, cam, rng)
			r := estimate(t, Input{Run: own, Against: []Run{ref}, SameMarking: f.alike, Subject: subject, Draws: namingDraws})
			total.add(fault.part, r.Limiter, r.Refused)
			if r.Refused {
				named["refused"]++
				continue
			}
			named[r.Limiter]++
			for _, p := range r.Parts {
				if p.Quality.String() == fault.part {
					sds = append(sds, p.Shapley.SD)
				}
			}
		}
		sd := "–"
		if len(sds) > 0 {
			sd = fmt.Sprintf("%.3f m/s", stat.Mean(sds, nil))
		}
		row(&b, fault.name, fmt.Sprintf("%+.0f %%", stat.Mean(change, nil)), fault.part, counts(named, fault.part, len(kicks)), sd)
	}
	return b.String(), total
}

// counts writes "facing 26/27, sweep 1", the right answer first.
func counts(named map[string]int, right string, of int) string {
	text := fmt.Sprintf("%s %d/%d", right, named[right], of)
	for _, who := range []string{"facing", "sweep", "build", "tempo", "none", "refused"} {
		if n := named[who]; n > 0 && who != right {
			text += fmt.Sprintf(", %s %d", who, n)
		}
	}
	return text
}

// otherWorlds lets the water be another than the model's: the swimmers swim with drawn
// coefficients and are judged with the default ones.
func otherWorlds(t *testing.T) string {
	t.Log("other worlds")
	rng := seeded(20)
	first, cases := map[string]int{}, map[string]int{}
	missed := map[string][]float64{}
	for range 20 {
		c := drawCoefficients(rng)
		for _, k := range everyThird(goodKicks())[:5] {
			world := swim.NewModel(adult, swim.ModelOptions{Coef: &c})
			for _, f := range faults[1:4] {
				good, err := world.Swim(k, swim.Options{})
				if err != nil {
					continue
				}
				faulty, err := world.Swim(f.make(world, good), swim.Options{Warm: good})
				if err != nil {
					continue
				}
				own, ref := filmRun(faulty, camera{}, rng), filmRun(good, camera{}, rng)
				r := estimate(t, Input{Run: own, Against: []Run{ref}, Draws: none})
				if r.Refused {
					continue
				}
				cases[f.name]++
				best, size := "", 0.0
				for _, p := range r.Parts {
					if p.Shapley.Value > size {
						best, size = p.Quality.String(), p.Shapley.Value
					}
					if p.Quality.String() == f.part {
						missed[f.name] = append(missed[f.name], 100*(p.SpeedChange.Value/r.Speed-(good.Speed/faulty.Speed-1)))
					}
				}
				if best == f.part {
					first[f.name]++
				}
			}
		}
	}
	var b strings.Builder
	b.WriteString("### Water that is not the model's\n\nFive swimmers swim in 20 other waters (coefficients drawn from their ranges, a fifth of them drag alone) and are judged\nwith the default one, clean film.\n\n")
	heading(&b, "fault", "right part has the largest share", "predicted less true gain, %-points")
	for _, f := range faults[1:4] {
		mean, sd := stat.MeanStdDev(missed[f.name], nil)
		row(&b, f.name, fmt.Sprintf("%d of %d", first[f.name], cases[f.name]), fmt.Sprintf("%+.1f +- %.1f", mean, sd))
	}
	b.WriteString("\n")
	return b.String()
}

// repeatability films one swimmer again and again against one good run.
func repeatability(t *testing.T) string {
	t.Log("repeatability")
	var b strings.Builder
	b.WriteString("### Repeatability and stated error\n\nThe same flat-footed swimmer filmed 20 times, five kicks: scatter of each share between films (m/s), and in brackets the\nmean stated standard deviation; the stated one should not be smaller. Three swimmers.\n\n")
	heading(&b, "filmed", "facing", "sweep", "build", "tempo", "rest")
	m := swim.NewModel(adult, swim.ModelOptions{})
	for _, f := range []filming{filmings[2], filmings[1], filmings[3], filmings[5]} {
		var actual, stated [numParts]float64
		swimmers := []int{0, 6, 12}
		for _, i := range swimmers {
			good, faulty := goodAndFaulty(t, m, goodKicks()[i], faults[1])
			var phi, sd [numParts][]float64
			for n := range 20 {
				rng := rand.New(rand.NewPCG(uint64(i), uint64(n)))
				cam := f.cam
				if cam.rate == 0 {
					cam.rate = 120
				}
				if f.alike {
					o := drawOffsets(cam.offset, rng)
					cam.marks = &o
				}
				in := Input{Run: filmRun(faulty, cam, rng), Against: []Run{filmRun(good, cam, rng)}, SameMarking: f.alike, Draws: none}
				if n < 4 {
					in.Draws = namingDraws
				}
				r := estimate(t, in)
				for p, l := range r.Parts {
					phi[p] = append(phi[p], l.Shapley.Value)
					if n < 4 {
						sd[p] = append(sd[p], l.Shapley.SD)
					}
				}
			}
			for p := range actual {
				actual[p] += stat.Variance(phi[p], nil) / float64(len(swimmers))
				stated[p] += stat.Mean(sd[p], nil) / float64(len(swimmers))
			}
		}
		cells := []string{f.name}
		for p := range actual {
			cells = append(cells, fmt.Sprintf("%.3f (%.3f)", math.Sqrt(actual[p]), stated[p]))
		}
		row(&b, cells...)
	}
	b.WriteString("\nMarked alike, the offsets that both runs share are left out of the stated error by the naming rule, because two runs of\nthe same kick stay alike under them (the good kicks above). The size of facing still moves with them, since a wrong\nankle or toe mark makes both feet look more or less pointed than they are: the band holds that, the rule does not.\n")
	return b.String()
}
