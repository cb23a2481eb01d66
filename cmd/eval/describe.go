package main

import (
	"fmt"
	"strings"

	"bordon/fixtures/room"
)

// String tells in words what a take is made of, for those who read its faults.
func (p plan) String() string {
	s, pl := p.spec, p.place
	words := []string{s.Texture.String()}
	say := func(yes bool, format string, args ...any) {
		if yes {
			words = append(words, fmt.Sprintf(format, args...))
		}
	}
	say(s.Strums, "strums %v", s.Arrangement)
	say(s.Golpes, "golpes")
	say(s.FirstRings, "first note rings before")
	say(s.Landing != 0, "landing a chord")
	h := s.Hand
	say(h.Apoyado, "rest strokes")
	say(h.Lift < 0.3, "left ringing")
	say(h.Thumb > 0, "thumb %.2f", h.Thumb)
	say(h.Fingers > 0, "fingers %.2f", h.Fingers)
	say(h.Tapped > 0, "taps with the thumb")
	say(h.Ligado > 0, "ligados")
	say(h.Dragged > 0, "dragged thumb")
	say(s.DropD, "sixth string in D")
	say(s.A4 != 0, "A4 %.0f Hz", s.A4)
	say(pl.walls == &room.Small, "small room")
	say(pl.walls == &room.Live, "live room")
	for _, d := range []struct {
		what string
		db   float64
	}{{"second guitar", pl.guitar}, {"pulse", pl.pulse}, {"claps on the beats", pl.clapsOn}, {"claps between", pl.clapsOff}, {"footwork", pl.steps}, {"counting", pl.count}, {"singing", pl.sing}} {
		say(d.db != 0, "%s %.0f dB", d.what, d.db)
	}
	say(pl.noise > 0, "noise at %.0f dB", pl.noise)
	say(pl.laptop, "laptop")
	say(pl.clip > 0, "clipped by %.0f dB", pl.clip)
	say(pl.autoGain, "automatic gain")
	say(pl.phone, "phone")
	say(p.rate != 44100, "%d Hz", p.rate)
	return strings.Join(words, ", ")
}
