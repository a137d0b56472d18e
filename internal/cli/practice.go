package cli

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"slices"
	"strings"

	"underkick/internal/poolside"
	"underkick/internal/practice"
	"underkick/internal/record"
)

const practiceHelp = `
Lists drills, dry-land tasks and sets, gives them to swimmers, and lays out sessions. One of:

  practice [--serves WHAT]            the library
  practice --drill ID                 one drill, with every dose by age and level and how it
                                      grows over the weeks
  practice --run ID                   drills chosen for the finding of a kept run, best first,
                                      with the rules that chose them
  practice --give DRILL[,DRILL] --run ID | --swimmer WHO
                                      give drills: over --weeks from --from, with a retest day
  practice --swimmer WHO              what is practised now and was before, with ids
  practice --swimmer WHO --by-week    what to do in each week up to the retest
  practice --change ID | --end ID | --take-back ID | --again ID --version N
                                      change what was given (ids as --swimmer prints them)
  practice --session --squad WHICH    who does what at one session, by station
  practice --due --squad WHICH        the next retests, with days left
  practice --own FILE                 keep the coach's own drills from a JSON file (format in
                                      docs/formats.md); all or none
  practice --own-list                 print the own drills as such a file
  practice --retire ID | --bring-back ID

The coach may give any drill with --why; what rules it goes against is kept with it. Age
cannot be set aside, nor anything that would reward time or distance without breathing.
Who gives is kept with --by. Doses are common practice; no study compared them.

--serves takes facing, sweep, build, tempo, upkick or streamline. WHO and WHICH are whole
names or ids.`

// practiceOptions are the options of the command.
type practiceOptions struct {
	data, serves, run, swimmer, squad string
	give, change, end, takeBack       string
	again, own, retire, bringBack     string
	session, due, ownList, dry        bool
	drill                             string
	byWeek                            bool
	asJSON                            bool
	without, only                     string
	from, retest, on                  string
	why, notes, by                    string
	weeks, version                    int
	repeats, each, perWeek            int
	set                               map[string]bool // options that were given
}

func practiceCommand() command {
	c := command{name: "practice", usage: "practice [--serves WHAT | --run ID | --give DRILL | --swimmer WHO | --session | ...] [options]", brief: "drills: list, choose, give, lay out a session"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runPractice(ctx, c, args, s) }
	return c
}

func (o *practiceOptions) register(f *flags) {
	f.StringVar(&o.serves, "serves", "", "only what serves `WHAT`")
	f.StringVar(&o.drill, "drill", "", "the drill `ID` alone, ours or an own one")
	f.BoolVar(&o.byWeek, "by-week", false, "with --swimmer: week by week up to the retest")
	f.StringVar(&o.run, "run", "", "the finding of the kept run `ID`")
	f.StringVar(&o.swimmer, "swimmer", "", "swimmer `WHO`: whole name or id")
	f.StringVar(&o.squad, "squad", "", "squad `WHICH`: whole name or id")
	f.StringVar(&o.give, "give", "", "give the drills `ID,ID`")
	f.StringVar(&o.change, "change", "", "change what was given under `ID`: --repeats, --each, --per-week, --weeks, --retest, --notes")
	f.StringVar(&o.end, "end", "", "end what was given under `ID`, on --on or today")
	f.StringVar(&o.takeBack, "take-back", "", "take back what was given by mistake under `ID`")
	f.StringVar(&o.again, "again", "", "make --version of what was given under `ID` stand again")
	f.IntVar(&o.version, "version", 0, "version `N`, from 1, with --again")
	f.BoolVar(&o.session, "session", false, "who does what at one session of --squad, on --on")
	f.BoolVar(&o.due, "due", false, "the next retests of --squad")
	f.StringVar(&o.own, "own", "", "keep own drills from `FILE`, - for standard input")
	f.BoolVar(&o.ownList, "own-list", false, "print the own drills as a file for --own")
	f.StringVar(&o.retire, "retire", "", "take the own drill `ID` off the lists")
	f.StringVar(&o.bringBack, "bring-back", "", "put the own drill `ID` back")
	f.BoolVar(&o.dry, "dry-land", false, "with --run: dry land only")
	f.StringVar(&o.without, "without", "", "with --run: equipment that is not there, `NAME,NAME`")
	f.StringVar(&o.only, "only", "", "with --session: only these swimmers, `WHO,WHO`")
	f.StringVar(&o.from, "from", "", "with --give: first `DAY`, YYYY-MM-DD (default today)")
	f.IntVar(&o.weeks, "weeks", 0, fmt.Sprintf("with --give, --change: for `N` weeks, %d to %d (--give: %d unless given)", practice.LeastWeeks, practice.MostWeeks, practice.UsualWeeks))
	f.StringVar(&o.retest, "retest", "", "with --give, --change: retest on `DAY` (default: the weeks after the first day)")
	f.StringVar(&o.on, "on", "", "with --session, --end: the `DAY` (default today)")
	f.StringVar(&o.why, "why", "", "with --give: `TEXT`, why; needed where the rules do not propose the drill")
	f.StringVar(&o.notes, "notes", "", "with --give, --change: notes for the pool, `TEXT`")
	f.IntVar(&o.repeats, "repeats", 0, "with --change: `N` repeats a session")
	f.IntVar(&o.each, "each", 0, "with --change: `N` kicks or seconds a repeat, as the drill counts")
	f.IntVar(&o.perWeek, "per-week", 0, "with --change: `N` sessions a week")
	f.StringVar(&o.by, "by", "", "who gives it or does this, `NAME`")
	f.StringVar(&o.data, "data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
	f.BoolVar(&o.asJSON, "json", false, "print JSON")
}

// practiceActs are the options that say what to do, with the others each may go with.
var practiceActs = []struct{ name, with string }{
	{"give", "run swimmer dry-land without from weeks retest why notes by"},
	{"change", "repeats each per-week weeks retest notes by"},
	{"end", "on by"},
	{"take-back", "by"},
	{"again", "version by"},
	{"session", "squad on only"},
	{"due", "squad"},
	{"own", "by"},
	{"own-list", ""},
	{"retire", "by"},
	{"bring-back", "by"},
	{"run", "dry-land without"},
	{"swimmer", "by-week"},
	{"drill", ""},
	{"serves", ""},
}

// act returns what to do, "serves" for the library.
func (o *practiceOptions) act() (string, error) {
	act, with := "serves", ""
	for _, a := range practiceActs {
		if o.set[a.name] {
			act, with = a.name, a.with
			break
		}
	}
	for name := range o.set {
		if name != act && name != "data" && name != "json" && !slices.Contains(strings.Fields(with), name) {
			return "", usagef("--%s does not go with --%s", name, act)
		}
	}
	switch {
	case act == "give" && (o.run == "") == (o.swimmer == ""):
		return "", usagef("--give needs either --run or --swimmer")
	case (act == "session" || act == "due") && o.squad == "":
		return "", usagef("--%s needs --squad", act)
	case act == "again" && o.version < 1:
		return "", usagef("--again needs --version")
	}
	return act, nil
}

func runPractice(ctx context.Context, c command, args []string, s streams) error {
	o := practiceOptions{set: map[string]bool{}}
	f := newFlags(c, s)
	o.register(f)
	names, err := f.parse(args, practiceHelp)
	if err != nil {
		return err
	}
	if len(names) > 0 {
		return usagef("takes no file names")
	}
	f.Visit(func(g *flag.Flag) { o.set[g.Name] = true })
	act, err := o.act()
	if err != nil {
		return err
	}
	if act == "serves" {
		view, err := poolside.OurLibrary(record.Serves(o.serves))
		if errors.Is(err, poolside.ErrInput) {
			return usagef("--serves: %v", err)
		}
		return errors.Join(err, o.show(s.out, view))
	}
	if act == "drill" {
		return o.oneDrill(ctx, s)
	}
	ctx, app, err := s.open(ctx, poolside.Options{DataDir: o.data})
	if err != nil {
		return err
	}
	err = o.do(ctx, app, act, s)
	var faults record.Faults
	if errors.As(err, &faults) && !errors.Is(err, poolside.ErrInput) { // of a file they are an ErrInput
		err = usagef("%v", faults)
	}
	return errors.Join(err, app.Close())
}

func (o *practiceOptions) do(ctx context.Context, app *poolside.App, act string, s streams) error {
	switch act {
	case "run":
		view, err := app.PracticeFor(ctx, o.run, o.narrow())
		if errors.Is(err, poolside.ErrNotFound) {
			return unusablef(err, "there is no run %s in %s; its page's address ends in its id", o.run, o.data)
		}
		if err != nil {
			return err
		}
		return o.show(s.out, view)
	case "session":
		return o.printSession(ctx, app, s.out)
	case "due":
		return o.printDue(ctx, app, s.out)
	case "own", "own-list", "retire", "bring-back":
		return o.doOwn(ctx, app, act, s)
	}
	return o.doGiven(ctx, app, act, s.out)
}

// narrow is what the choice is narrowed down to.
func (o *practiceOptions) narrow() poolside.PracticeOptions {
	return poolside.PracticeOptions{DryLand: o.dry, Without: listed(o.without)}
}

// listed splits a list at its commas.
func listed(text string) []string {
	var list []string
	for _, one := range strings.Split(text, ",") {
		if one = strings.TrimSpace(one); one != "" {
			list = append(list, one)
		}
	}
	return list
}

func (o *practiceOptions) show(w io.Writer, view poolside.PracticeView) error {
	if o.asJSON {
		return writeJSON(w, practiceJSON(view))
	}
	printPractice(w, view)
	return nil
}
