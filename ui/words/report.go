package words

import (
	"strconv"

	"bordon/listen"
	"bordon/listen/take"
)

// ReportWords are the words of the written report that stand by themselves.
// Those with % are formats of fmt.
type ReportWords struct {
	Title, ProgressTitle          string
	Page, Score, Reasons, Rulings string
	Newer, Note, Numbers          string
	HowTo, Quiet, Play, Nothing   string
	Turn, Beat, Week, Recently    string
	AsPlayed, AsAsked, NoPlay     string
	NoSound                       string
	Timing, TimingDesc            string
	OnBeat, Early, Late           string
	DotTitle                      string // %d, %s, %.1f: turn, beat, ms
	Tuning                        string
	TuningDesc                    string // %.1f: cents
	InTune                        string
	CentsTitle                    string // %s, %.1f, %.1f: note, seconds, cents
	OffsetHeads                   [4]string
	LastWord                      string
	Formula, FormulaOnTime        string // {right}, {judged}, {unsure}, {percent}

	someSound counted // {n}: seconds of recording that are there
	leftOut   counted // {n}: turns
}

// Report are the words of the written report.
func (l *Language) Report() ReportWords { return l.report }

// SomeSound tells that only some seconds of the recording are in the report.
func (l *Language) SomeSound(seconds int) string { return l.report.someSound.of(seconds) }

// LeftOut tells that some turns are not on paper.
func (l *Language) LeftOut(turns int) string { return l.report.leftOut.of(turns) }

// Formula tells the score with how it is reckoned; nil where nothing is left
// to judge.
func (l *Language) Formula(s listen.Score) []string {
	var said []string
	for _, x := range []struct {
		message string
		right   int
		share   *float64
	}{{l.report.Formula, s.Right, s.Accuracy}, {l.report.FormulaOnTime, s.RightOnTime, s.AccuracyOnTime}} {
		if x.share != nil {
			said = append(said, fill(x.message, "right", strconv.Itoa(x.right), "judged", strconv.Itoa(s.Judged),
				"unsure", strconv.Itoa(s.Unsure), "percent", l.number(100**x.share, 'f', 1)))
		}
	}
	return said
}

// LineName names a line in a key: "G, cejilla 3, alegrias, 7:3 8:2 9:7 10:1".
func (l *Language) LineName(s take.Spot) string {
	return l.KeyAt(s.Key, s.Cejilla) + ", " + s.Form + ", " + s.Line
}
