package grid

import (
	"fmt"
	"math"

	"bordon/dsp"
	"bordon/theory"
)

// Plan is what a form and a line ask for on each beat of a pass of the line,
// as it sounds.
type Plan struct {
	beats []planned
	turn  int     // beats of a turn
	tempo float64 // a usual one, units a minute
	even  bool    // all beats are of one length
	units float64 // of a pass
	// chords are those of the plan, each once, as pitch classes.
	chords [][12]bool
}

// planned is one beat.
type planned struct {
	length  float64 // units of the tempo
	accent  bool
	chord   int       // index in chords
	line    bool      // the line runs here: no strum is expected
	asks    []planAsk // the notes asked for from here to the next beat
	landing bool      // a strum may stand for the note
}

// planAsk is one note that is asked for.
type planAsk struct {
	after   float64           // part of the beat, 0 to 1
	accepts [dsp.Pitches]bool // exactly
	name    [dsp.Pitches]bool // in some octave
}

// MaxPass is how many beats a pass of a line may have for its beats to be
// found in a sound.
const MaxPass = 64

// usualTempo is taken where a form has none (common practice, no source).
const usualTempo = 100.0

// NewPlan is the plan of a line, cejilla semitones higher than it is fingered.
func NewPlan(line theory.Line, cejilla int) (*Plan, error) {
	form := line.Form
	turns := max(line.Turns, 1)
	if form.Beats < 1 || form.Beats*turns > MaxPass {
		return nil, fmt.Errorf("a line of %d beats is too long for its beats to be found in a sound; it must have 1 to %d", form.Beats*turns, MaxPass)
	}
	p := &Plan{beats: make([]planned, form.Beats*turns), turn: form.Beats, tempo: form.Tempo, even: true}
	if !(p.tempo > 0) {
		p.tempo = usualTempo
	}
	chordOf := map[[12]bool]int{}
	for i := range p.beats {
		b := &p.beats[i]
		b.length = float64(form.Length(i%form.Beats + 1))
		p.even = p.even && b.length == p.beats[0].length
		p.units += b.length
		for _, a := range form.Accents {
			b.accent = b.accent || a == i%form.Beats+1
		}
		var tones [12]bool
		for _, t := range form.ChordAt(line.Key, float64(i%form.Beats+1)).Tones {
			tones[mod(t.PitchClass()+cejilla, 12)] = true
		}
		n, known := chordOf[tones]
		if !known {
			n = len(p.chords)
			chordOf[tones] = n
			p.chords = append(p.chords, tones)
		}
		b.chord = n
	}
	p.ask(line, cejilla)
	return p, nil
}

// ask files the items of the line by beat. Within a turn the line runs from its
// first item to its last.
func (p *Plan) ask(line theory.Line, cejilla int) {
	first, last := map[int]int{}, map[int]int{}
	for _, it := range line.Items {
		offset := it.Position.Offset(p.turn)
		at := int(math.Floor(offset))
		if at < 0 || at >= len(p.beats) {
			continue
		}
		b := &p.beats[at]
		a := planAsk{after: offset - float64(at)}
		for i := range dsp.Pitches {
			midi := dsp.LowestMIDI + i - cejilla
			a.accepts[i] = line.Accepts(it, midi)
			for octave := -36; octave <= 36 && !a.name[i]; octave += 12 {
				a.name[i] = line.Accepts(it, midi+octave)
			}
		}
		b.asks = append(b.asks, a)
		b.landing = b.landing || it.Landing
		turn := at / p.turn
		if _, known := first[turn]; !known {
			first[turn] = at
		}
		last[turn] = at
	}
	for turn, from := range first {
		for at := from; at <= last[turn]; at++ {
			p.beats[at].line = true
		}
	}
}

// Tempo is a usual one, in units a minute.
func (p *Plan) Tempo() float64 { return p.tempo }

// Beats of a pass of the line.
func (p *Plan) Beats() int { return len(p.beats) }

func mod(a, n int) int { return ((a % n) + n) % n }
