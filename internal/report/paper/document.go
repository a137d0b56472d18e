package paper

import "html/template"

// Document is a lesson ready for paper.
type Document struct {
	Title    string
	Sub      string // under the title: who made it, from what
	Size     Size
	Blocks   []Block
	Cautions []Caution // at the end, in boxes that are never left out
	Notes    []string  // small print: what the numbers are and are not
}

// Size is the size of the paper.
type Size string

// The sizes.
const (
	A4     Size = "a4"
	Letter Size = "letter"
)

// Block is one piece of a document. What is empty is not laid out.
type Block struct {
	Kind     string    // class of the piece
	Heading  string    // stands above everything else
	Text     []string  // paragraphs
	Cautions []Caution // below everything else, on the same page as a card
	Rows     []Row
	Curve    *Curve
	Measure  *Measure
	Card     *Card
	Clip     *Clip
	Withheld []string // one line for everything that may not be shown here
	Empty    string   // what stands here while there is nothing to show
}

// Row is one run's stills.
type Row struct {
	Label  string
	Stills []Still
	Key    string // what the drawing means
}

// Still is one framed picture with its drawing.
type Still struct {
	Picture template.HTML // an SVG
	Moment  string
	Caption string
}

// Curve is a drawing over the phase of a kick.
type Curve struct {
	Title   string
	Drawing template.HTML
	Keys    []Key
	Words   string
}

// Key tells which line is whose.
type Key struct {
	Class string // "a", "b" ... as in the drawing
	Words string
}

// Measure is one measure of one or several runs.
type Measure struct {
	Name    string
	Meaning string
	Rows    []MeasureRow
	Words   []string // verdicts
}

// MeasureRow is a run's number.
type MeasureRow struct {
	Label string
	Value string
	Band  string
	Bar   template.HTML
	Note  string // why it is doubtful
}

// Card is something to practise.
type Card struct {
	Title  string
	Where  string // place and phase of the kick
	Why    string
	Source string
	How    []string
	Dose   string
	Cue    string
	Error  string
	Needs  string
	Sign   string
}

// Clip is one kick that plays. On paper the still of its first moment stands for it.
type Clip struct {
	Label   string
	Poster  template.HTML // on paper and before the start
	Frames  []string      // addresses of its pictures in order
	DelayMS int           // from picture to picture
	Alt     string
	Video   template.URL // address of a film in place of the pictures; "" = none
}

// Caution is a box that warns.
type Caution struct {
	Title string
	Lines []string
}

// Sheet is the one page for a swimmer and parents.
type Sheet struct {
	Title   string
	Sub     string
	Size    Size
	Saw     []string // what was seen
	Picture template.HTML
	Key     []string // what is drawn on it, and what to look at
	Number  []string // one number with its band in words
	DoTitle string
	Do      []string // the steps
	Dose    string
	Cue     string
	Why     []string
	Next    string
	Caution Caution
	Notes   []string
}
