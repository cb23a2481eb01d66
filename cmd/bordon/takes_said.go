package main

import (
	"context"
	"strings"

	"bordon/listen"
	"bordon/listen/match"
	"bordon/listen/take"
	"bordon/ui/page"
	"bordon/ui/words"
)

// takeWords are what is written into takes.
var takeWords = take.Words{Reason: words.English.Reason, Cues: cuesOf}

// cuesOf are the verdicts of a session as places in its sound: where a note
// was heard, else where its beat was.
func cuesOf(s *listen.Session) []take.Cue {
	set := s.Settings()
	w := page.NewWriter(language, set, s.Rate())
	delay := int64(set.Delay * float64(s.Rate()) / 1000)
	var cues []take.Cue
	for _, v := range s.Verdicts() {
		c := take.Cue{Sample: v.Time + delay, Label: strings.Join(strings.Fields(w.Line(v)), " ")}
		if v.Heard != nil {
			c.Sample = v.Heard.Onset
		}
		if page.IsMistake(v) || v.Pitch == match.Unsure {
			c.Note = language.Reason(v, set)
		}
		cues = append(cues, c)
	}
	return cues
}

// repairTakes makes takes whole whose recording was cut short, and tells of
// them.
func (a *app) repairTakes(ctx context.Context) {
	repaired, err := take.Repair(ctx, a.takes, takeWords)
	if err != nil {
		a.talk("bordon: %s", inWords(err))
	}
	for _, r := range repaired {
		switch {
		case r.Err != nil:
			a.talk("bordon: %s", inWords(r.Err))
		case !r.Empty:
			a.talk("%s", language.Repaired(printable(r.ID), r.Seconds))
		}
	}
}
