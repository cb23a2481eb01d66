package main

import (
	"bordon/listen"
	"bordon/ui/page"
	"bordon/ui/words"
)

// language of all that is said.
var language = words.English

// reasonsOf are the sentences on the mistakes of a session, in order of time;
// those on chords come last.
func reasonsOf(s *listen.Session) []string {
	var said []string
	if t := s.TwoWays(); t != nil {
		return language.TwoWaysReasons(t, s.Settings(), s.Rate())
	}
	for _, v := range s.Verdicts() {
		if page.IsMistake(v) {
			said = append(said, page.Sentence(language, v, language.Reason(v, s.Settings())))
		}
	}
	for _, v := range s.Chords() {
		if why := language.HeldChord(v); why != "" {
			said = append(said, why)
		}
	}
	return said
}

// summary is what is said of a session at its end.
func summary(s *listen.Session) []string {
	var said []string
	if other := language.OtherKey(s.OtherKey(), s.Settings().Key.String()); other != "" {
		said = append(said, other)
	}
	if s.TwoWays() != nil && s.Score().Judged == 0 { // of which the page tells
		return said
	}
	return append(append(said, language.Summary(s.Score())...), cutOff(s)...)
}

// cutOff is the sentence on turns that the end cut off after something was
// said of them.
func cutOff(s *listen.Session) []string {
	if first, last := s.CutOff(); first > 0 {
		return []string{language.CutOff(first, last)}
	}
	return nil
}
