package export

import (
	"slices"
	"strconv"

	"bordon/theory"
)

// barWriter writes the bar of one turn.
type barWriter struct {
	p         *Piece
	w         *Words
	divisions int // of a unit
	on        staff
	first     bool // it is of the uppermost part
	music     []any

	signature map[byte]int
	signs     map[theory.Name]int // by letter and octave: the accidental that holds in the bar
}

func (b *barWriter) write(bar []slots, turn int) {
	p, form := b.p, b.p.Settings.Form
	b.signature, b.signs = altered(p.Settings.Key.Signature()), map[theory.Name]int{}
	if turn > 1 {
		b.music = append(b.music, print{NewSystem: "yes"})
	} else {
		b.music = append(b.music, p.attributes(b.on, b.divisions))
		if p.Settings.Cejilla > 0 && b.first {
			b.say("above", b.w.Cejilla(p.Settings.Cejilla))
		}
	}
	if tempo, shown := p.tempoIn(turn); shown && b.first {
		value := values(1, unit(form))[0]
		b.music = append(b.music, direction{Placement: "above", Metronome: &metronome{value.name, strconv.FormatFloat(tempo, 'f', -1, 64)},
			Sound: &sound{strconv.FormatFloat(tempo*4/float64(unit(form)), 'f', -1, 64)}})
	}
	if !slices.ContainsFunc(bar, func(s slots) bool { return len(s.notes) > 0 }) {
		b.music = append(b.music, noteXML{Rest: &rest{"yes"}, Duration: form.TurnUnits() * b.divisions, Voice: 1})
		return
	}
	var chords map[int]string
	if b.on == askedNotes {
		chords = p.changes(turn, b.w)
	}
	for i := 0; i < len(bar); i++ {
		s := bar[i]
		b.say("above", chords[s.beat])
		for i+1 < len(bar) && b.rest(s, bar[i+1]) && chords[s.beat+1] == "" {
			i++
			s.beat, s.units = bar[i].beat, s.units+bar[i].units
		}
		b.beat(&s)
	}
}

// rest reports whether two neighbours are one rest: beats of one unit in which
// nothing is, of the same three, where the form's beats go in threes, or of the
// same two. Fewer rests leave room for words.
func (b *barWriter) rest(s, next slots) bool {
	form := b.p.Settings.Form
	group := 2
	if form.Beats%3 == 0 {
		group = 3
	}
	return len(form.Lengths) == 0 && len(s.notes)+len(next.notes) == 0 && (s.beat-1)/group == (next.beat-1)/group
}

// say writes words; none for "".
func (b *barWriter) say(placement, text string) {
	if text != "" {
		b.music = append(b.music, direction{Placement: placement, Words: []string{text}})
	}
}

// beat writes one beat.
func (b *barWriter) beat(s *slots) {
	from := len(b.music)
	at := 0
	for i, n := range s.notes {
		b.rests(s, n.slot-at)
		until := s.cut * s.units
		if i+1 < len(s.notes) {
			until = s.notes[i+1].slot
		}
		b.note(s, &n, until-n.slot)
		at = until
	}
	b.rests(s, s.cut*s.units-at)
	if actual, normal := tuplet(s.cut); actual != normal {
		b.bracket(from)
	}
}

// rests writes n slots of silence.
func (b *barWriter) rests(s *slots, n int) {
	for _, v := range b.values(s, n) {
		x := b.written(s, v)
		x.Rest = &rest{}
		b.music = append(b.music, x)
	}
}

func (b *barWriter) values(s *slots, n int) []value {
	_, normal := tuplet(s.cut)
	return values(n, unit(b.p.Settings.Form)*normal)
}

// written is a note or rest of a value.
func (b *barWriter) written(s *slots, v value) noteXML {
	x := noteXML{Duration: v.slots * b.divisions / s.cut, Voice: 1, Type: v.name}
	if v.dotted {
		x.Dot = &struct{}{}
	}
	if actual, normal := tuplet(s.cut); actual != normal {
		slot := values(1, unit(b.p.Settings.Form)*normal)[0]
		x.Tuplet = &inTime{actual, normal, slot.name}
	}
	return x
}

// note writes a note that lasts n slots, or the rest that stands for it, with
// what there is to say of it.
func (b *barWriter) note(s *slots, n *placed, slots int) {
	if b.on == askedNotes && n.slot == 0 {
		b.say("below", b.p.Settings.Form.CountedOn(s.beat))
	}
	if b.on != askedTablature {
		for _, said := range n.remarks {
			b.say("below", said)
		}
	}
	if n.rest || n.midi <= 0 || n.midi > 127 {
		b.rests(s, slots)
		return
	}
	spelled := b.p.fingered(n.midi)
	vs := b.values(s, slots)
	for i, v := range vs {
		x := b.written(s, v)
		x.Pitch = &pitch{string(spelled.Letter), spelled.Alter, spelled.Octave}
		if n.doubt {
			x.Head = &head{"yes", "normal"}
		}
		if i == 0 && b.on != askedTablature {
			x.Accidental = b.accidental(spelled)
		}
		var marks notations
		if i > 0 {
			x.Ties, marks.Tied = append(x.Ties, tie{"stop"}), append(marks.Tied, tie{"stop"})
		}
		if i+1 < len(vs) {
			x.Ties, marks.Tied = append(x.Ties, tie{"start"}), append(marks.Tied, tie{"start"})
		}
		var at *theory.Position
		if b.on != heardNotes {
			at = &n.pos
		}
		if place, ok := b.p.neck(n.midi, at); ok && i == 0 {
			marks.Technical = &technical{place.String, place.Fret}
		}
		if len(marks.Tied) > 0 || marks.Technical != nil {
			x.Notations = &marks
		}
		b.music = append(b.music, x)
	}
}

// accidental is the sign that a note needs in its bar, "" for none.
func (b *barWriter) accidental(n theory.Note) string {
	at := theory.Name{Letter: n.Letter, Alter: n.Octave}
	holds, ok := b.signs[at]
	if !ok {
		holds = b.signature[n.Letter]
	}
	b.signs[at] = n.Alter
	if holds == n.Alter {
		return ""
	}
	return map[int]string{-2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp"}[n.Alter]
}

// bracket puts a bracket over the notes and rests written from an index on.
func (b *barWriter) bracket(from int) {
	first, last := -1, -1
	for i := from; i < len(b.music); i++ {
		if _, ok := b.music[i].(noteXML); ok {
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	if first < 0 {
		return
	}
	mark := func(i int, t tupletXML) {
		x := b.music[i].(noteXML)
		var marks notations
		if x.Notations != nil {
			marks = *x.Notations
		}
		marks.Tuplets = append(marks.Tuplets, t)
		x.Notations = &marks
		b.music[i] = x
	}
	mark(first, tupletXML{"start", "yes"})
	mark(last, tupletXML{"stop", ""})
}
