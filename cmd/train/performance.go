package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"bordon/dsp/pluck"
	"bordon/fixtures"
	"bordon/theory"
)

// performed draws a scene that is a turn or more of a form: a line drawn at
// random under chords, as a hand plays it that may err, drag and brush. Scenes
// without an order teach what sounds may come; these, how often they do.
func performed(rng *rand.Rand, seconds float64, lower bool) (*scene, error) {
	s := &scene{rng: rng}
	chance, between := s.chance, s.between
	keys := fixtures.Keys()
	spec := fixtures.Spec{
		Name: "scene", Form: []string{"alegrias", "solea"}[rng.IntN(2)], Key: keys[rng.IntN(len(keys))],
		Tempo: 40 * math.Pow(260.0/40, rng.Float64()), FirstBeat: between(-2, 1),
		Texture: fixtures.Texture(rng.IntN(4)), Strums: chance(0.8), Arrangement: fixtures.Arrangement(rng.IntN(4)), Golpes: chance(0.3),
		Landing: fixtures.Landing(rng.IntN(3)), FirstRings: chance(0.2), DropD: lower && chance(0.1), Guitar: pluck.Classic(), Seed: rng.Uint64(),
		Hand: fixtures.Hand{Jitter: between(0.002, 0.015), Uneven: between(0.05, 0.35), Thumb: between(0.3, 1), Fingers: between(0.3, 0.9),
			Apoyado: chance(0.4), Lift: rng.Float64()},
	}
	if chance(0.5) {
		spec.Cejilla = rng.IntN(8)
	}
	for _, share := range []*float64{&spec.Hand.Tapped, &spec.Hand.Ligado, &spec.Hand.Dragged} {
		if chance(0.2) {
			*share = between(0.2, 0.6)
		}
	}
	beats := int(seconds*spec.Tempo/60) + 1
	spec.Turns = beats/12 + 1
	if chance(0.15) {
		spec.Strummed = []int{1 + rng.IntN(spec.Turns)}
	}
	var err error
	if spec.Line, err = drawLine(s, spec); err != nil {
		return nil, err
	}
	for turn := 1; turn <= spec.Turns; turn++ {
		for item := range strings.FieldsSeq(spec.Line) {
			if chance(0.2) {
				beat, _, _ := strings.Cut(item, ":")
				spec.Mistakes = append(spec.Mistakes, fixtures.Planted{Turn: turn, Beat: beat, What: slips[rng.IntN(len(slips))]})
			}
		}
	}
	take, err := fixtures.Generate(spec)
	if err != nil {
		return nil, err
	}
	s.cejilla, s.dropD = take.Cejilla, take.DropD
	for _, e := range take.Events {
		if e.At >= 0 && e.At < seconds-0.8 {
			s.events = append(s.events, e)
		}
	}
	for _, n := range take.Truth {
		if n.MIDI > 0 && n.Mistake != fixtures.Strummed && !n.Chord {
			s.thumbs = append(s.thumbs, n.Time)
		}
	}
	slices.Sort(s.thumbs)
	return s, nil
}

var slips = []fixtures.Mistake{fixtures.InScale, fixtures.OutOfScale, fixtures.Missing, fixtures.Missing,
	fixtures.Early, fixtures.Late, fixtures.Extra, fixtures.Brushed, fixtures.Brushed, fixtures.Doubled}

// drawLine is a line of notes of any kind for some beats on end, and between
// them where the hand has time for it, that ends on a tonic.
func drawLine(s *scene, spec fixtures.Spec) (string, error) {
	key, err := theory.ParseKey(spec.Key)
	if err != nil {
		return "", err
	}
	low, high := theory.Standard[5], theory.Standard[3]+4
	if spec.DropD {
		low -= 2
	}
	chromatic := s.chance(0.2)
	var scale, tonics []int // the latter by index
	for m := low; m <= high; m++ {
		if chromatic || key.Contains(m) {
			if m%12 == key.Tonic.PitchClass() {
				tonics = append(tonics, len(scale))
			}
			scale = append(scale, m)
		}
	}
	if len(tonics) == 0 {
		return "", fmt.Errorf("draw a line in %s: no bass string has its tonic", spec.Key)
	}
	last := 10 + s.rng.IntN(3)
	first := max(1, last-3-s.rng.IntN(8))
	halves := spec.Tempo < 130 && s.chance(0.3)
	repeats, widest := s.between(0, 0.4), 1+s.rng.IntN(6)
	at := tonics[s.rng.IntN(len(tonics))]
	var items []string // from the last
	for beat := last; beat >= first; beat-- {
		items = append(items, fmt.Sprintf("%d:%v", beat, key.Spell(scale[at])))
		if !s.chance(repeats) {
			step := 1 + s.rng.IntN(widest)
			if s.chance(0.5) {
				step = -step
			}
			if at+step < 0 || at+step >= len(scale) {
				step = -step
			}
			at = min(max(at+step, 0), len(scale)-1)
		}
		if halves && beat > first && s.chance(0.45) {
			items = append(items, fmt.Sprintf("%d+1/2:%v", beat-1, key.Spell(scale[at])))
		}
	}
	slices.Reverse(items)
	return strings.Join(items, " "), nil
}
