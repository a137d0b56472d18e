package record

import "fmt"

// Stage is how a drill is practised from a week on, until the next stage. A stage
// never gives more than the dose: it takes a part of the repeats.
type Stage struct {
	FromWeek int    `json:"from_week"`       // 1 = the first
	Percent  int    `json:"percent"`         // of the dose's repeats, 1 to 100
	Words    string `json:"words,omitempty"` // what is different in it
}

// maxStages bounds a drill's list of stages.
const maxStages = 6

func (d Drill) stageFaults(f *Faults) {
	if len(d.Stages) > maxStages {
		f.add("stages", "has %d entries; write %d at most", len(d.Stages), maxStages)
	}
	for i, s := range d.Stages {
		switch {
		case i == 0 && s.FromWeek != 1:
			f.add("stages", "begins in week %d; the first begins in week 1", s.FromWeek)
		case i > 0 && s.FromWeek <= d.Stages[i-1].FromWeek || s.FromWeek > maxWeeks:
			f.add("stages", "has week %d after week %d; write weeks in order, %d at most", s.FromWeek, d.Stages[max(i-1, 0)].FromWeek, maxWeeks)
		}
		if s.Percent < 1 || s.Percent > 100 {
			f.add("stages", "has %d percent of the repeats; write 1 to 100", s.Percent)
		}
	}
}

func (d Drill) stageWords() []string {
	var words []string
	for _, s := range d.Stages {
		if s.Words != "" {
			words = append(words, s.Words)
		}
	}
	return words
}

// InWeek returns what of an amount is practised in a week, counted from 1, and
// what is different in it: the amount itself where the drill has no stages, else
// the stage's part of the repeats, rounded, one at least. Before the first week
// it is the first stage.
func (d Drill) InWeek(amount Dose, week int) (Dose, string) {
	words := ""
	part := 100
	for i, s := range d.Stages {
		if i == 0 || s.FromWeek <= week {
			part, words = s.Percent, s.Words
		}
	}
	amount.Repeats = max(1, (amount.Repeats*part+50)/100)
	return amount, words
}

// String returns the stage in words: "from week 3, 60 % of the repeats: slowly".
func (s Stage) String() string {
	text := fmt.Sprintf("from week %d, ", s.FromWeek)
	if s.Percent == 100 {
		text += "all repeats"
	} else {
		text += fmt.Sprintf("%d %% of the repeats", s.Percent)
	}
	if s.Words != "" {
		text += ": " + s.Words
	}
	return text
}
