package words

import (
	"strings"

	"bordon/listen"
	"bordon/listen/match"
	"bordon/theory"
)

// reasons are the sentences that say what was heard, what was asked for and
// the nearest cause.
type reasons struct {
	// The whole: {heard} or {key} or {octaves}, and {asked}, what the line does.
	missing, unsure, strummed     string
	lost                          string // {asked}: unsure because sound was lost
	inScale, outOfScale, outCause string // {heard}, {key}, {cause}
	foreign                       string // {heard}, {key}: whatever was asked for
	octaveUp, octaveDown          counted

	// {cause}: what the heard note is.
	stillThere, swapped, tooHigh, tooLow, otherString, otherDegree string

	// {asked}: what the line does.
	begins, down, up, stays, lands, asks string // {note}
	note                                 string // {name}, {degree}, {place}
	noteNowhere                          string // the same where the neck has no place
	anyOfChord                           string // {chord}, {tones}
	nearest                              string // {any}, {note}
	or, and                              string
}

// Reason is one sentence on a verdict that a student understands: what was
// heard, what was asked for, with degree, string and fret, and the nearest
// cause. A right note needs none; when it came, Timing says. It serves as the
// Reason of listen.Settings.
func (l *Language) Reason(v match.Verdict, set listen.Settings) string {
	r := &l.reasons
	asked := l.asked(v, set)
	switch v.Pitch {
	case match.Missing:
		return fill(r.missing, "asked", asked)
	case match.Unsure:
		if v.Lost {
			return fill(r.lost, "asked", asked)
		}
		return fill(r.unsure, "asked", asked)
	case match.Strummed:
		return r.strummed
	}
	if v.Heard == nil {
		return ""
	}
	fingered := v.Heard.MIDI - set.Cejilla
	heard := l.Note(set.Key.Spell(fingered).Name)
	switch v.Pitch {
	case match.Octave:
		apart := v.Heard.MIDI - v.ExpectedMIDI
		message := r.octaveUp
		if apart < 0 {
			message, apart = r.octaveDown, -apart
		}
		return fill(message.of(apart/12), "heard", heard, "asked", asked)
	case match.InScale:
		cause := l.cause(v, set, fingered)
		if cause == "" {
			cause = fill(r.otherDegree, "degree", l.Degree(set.Key.Degree(fingered)))
		}
		return fill(r.inScale, "heard", heard, "cause", cause, "asked", asked)
	case match.OutOfScale:
		if len(v.Item.Choices) == 0 {
			return fill(r.foreign, "heard", heard, "key", l.Key(set.Key))
		}
		message, cause := r.outOfScale, l.cause(v, set, fingered)
		// That a foreign note lies a fret beside the right one is plain from
		// where the right one is said to lie.
		if cause != "" && v.Cause != match.Semitone {
			message = r.outCause
		}
		return fill(message, "heard", heard, "key", l.Key(set.Key), "cause", cause, "asked", asked)
	}
	return ""
}

// cause says what the heard note is; "" where nothing nearer is known.
func (l *Language) cause(v match.Verdict, set listen.Settings, heard int) string {
	r := &l.reasons
	expected := v.ExpectedMIDI - set.Cejilla
	switch v.Cause {
	case match.StillThere:
		return r.stillThere
	case match.Swapped:
		if beat := neighbour(v.Item, set.Line, heard); beat != "" {
			return fill(r.swapped, "beat", beat)
		}
	case match.Semitone:
		if heard > expected {
			return r.tooHigh
		}
		return r.tooLow
	case match.WrongString:
		if p, ok := set.Line.Tuning.Place(expected); ok {
			for s := max(p.String-1, 1); s <= min(p.String+1, 6); s++ {
				if s != p.String && heard-set.Line.Tuning[s-1] == p.Fret {
					return fill(r.otherString, "string", l.strings[s])
				}
			}
		}
	}
	return ""
}

// neighbour is the beat next to the item that asks for this note.
func neighbour(item theory.Item, line theory.Line, midi int) string {
	i := indexOf(item, line)
	for _, j := range []int{i - 1, i + 1} {
		if i < 0 || j < 0 || j >= len(line.Items) {
			continue
		}
		for _, c := range line.Items[j].Choices {
			if c.Kind == theory.ExactNote && c.Note.MIDI() == midi {
				return line.Items[j].Position.String()
			}
		}
	}
	return ""
}

func indexOf(item theory.Item, line theory.Line) int {
	for i := range line.Items {
		if line.Items[i].Position.Compare(item.Position) == 0 {
			return i
		}
	}
	return -1
}

// asked says what the line does on the verdict's beat: "the line goes down to
// A, the second degree, open fifth string".
func (l *Language) asked(v match.Verdict, set listen.Settings) string {
	r := &l.reasons
	var notes []string
	exact := 0
	for _, c := range v.Item.Choices {
		note := l.choice(c, v.Item, set)
		// The nearest that would have been right, where the line leaves it free.
		if c.Kind != theory.ExactNote && v.Expected.Kind == c.Kind && v.Heard != nil && v.Pitch.Sworn() && set.Line.Accepts(v.Item, v.ExpectedMIDI-set.Cejilla) && v.Pitch != match.Right {
			note = fill(r.nearest, "any", note, "note", l.exact(set.Key.Spell(v.ExpectedMIDI-set.Cejilla), set))
		}
		notes = append(notes, note)
		if c.Kind == theory.ExactNote {
			exact++
		}
	}
	motion := r.asks
	switch i := indexOf(v.Item, set.Line); {
	case len(notes) != 1 || exact != 1:
	case v.Item.Landing:
		motion = r.lands
	case i == 0:
		motion = r.begins
	case i > 0:
		motion = l.motion(set.Line.Items[i-1], v.Item.Choices[0].Note.MIDI())
	}
	return fill(motion, "note", strings.Join(notes, r.or))
}

// motion from the item before to a note.
func (l *Language) motion(before theory.Item, midi int) string {
	r := &l.reasons
	for _, c := range before.Choices {
		if c.Kind != theory.ExactNote {
			continue
		}
		switch from := c.Note.MIDI(); {
		case midi < from:
			return r.down
		case midi > from:
			return r.up
		}
		return r.stays
	}
	return r.asks
}

func (l *Language) choice(c theory.Choice, item theory.Item, set listen.Settings) string {
	r := &l.reasons
	switch c.Kind {
	case theory.AnyScale:
		return l.AnyOf(l.Key(set.Key))
	case theory.AnyChord:
		var tones []string
		for _, t := range item.Chord.Tones {
			tones = append(tones, l.Note(t))
		}
		last := len(tones) - 1
		if last > 0 {
			tones = []string{strings.Join(tones[:last], ", ") + r.and + tones[last]}
		}
		return fill(r.anyOfChord, "tones", strings.Join(tones, ""))
	}
	return l.exact(c.Note, set)
}

// exact is a note with its degree and its place.
func (l *Language) exact(n theory.Note, set listen.Settings) string {
	r := &l.reasons
	midi := n.MIDI()
	message, place := r.noteNowhere, ""
	if p, ok := set.Line.Tuning.Place(midi); ok {
		if place = l.Place(p); place != "" {
			message = r.note
		}
	}
	return fill(message, "name", l.Note(n.Name), "degree", l.Degree(set.Key.Degree(midi)), "place", place)
}
