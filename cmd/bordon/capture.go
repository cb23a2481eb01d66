package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"bordon/listen"
	"bordon/listen/decode"
	"bordon/listen/forms"
	"bordon/listen/lines"
	"bordon/listen/match"
	"bordon/listen/take"
	"bordon/theory"
)

// captureFlags say how a line is written down from recordings.
type captureFlags struct {
	files []string
	tempo float64
	first float64
	save  bool
}

// capture writes down a line that was played twice: in two turns of a
// recording, or in the first turn of two.
func (a *app) capture(ctx context.Context, f lineFlags, c captureFlags, name string) error {
	s, err := f.setting()
	if err != nil {
		return err
	}
	key, err := s.keyOf(f.key)
	if err != nil {
		return err
	}
	loose, err := theory.ParseLine(lines.Beats(s.form), key, s.form, s.tuning)
	if err != nil {
		return err
	}
	set := listen.Settings{
		Key: key, Form: s.form, Line: loose, Tempo: c.tempo, FirstBeat: c.first, Cejilla: s.cejilla,
		A4: 440, Tolerance: match.Learning, Blind: true, DelayKnown: true,
	}
	if err := validate(set); err != nil {
		return err
	}
	turns, err := heardTurns(ctx, set, c.files)
	if err != nil {
		return fail(err)
	}
	got, err := lines.Capture(name, key, s.form, turns[0], turns[1])
	if err != nil {
		return fail(err)
	}
	open, err := a.settle(&got)
	if err != nil {
		return fail(err)
	}
	text, err := got.Text(open)
	if err != nil {
		return fail(err)
	}
	if !c.save {
		_, err = io.WriteString(a.stdout, text)
		return fail(err)
	}
	return fail(a.saveLine(name, text))
}

// heardTurns are the notes of two turns: the first of each of two files, or the
// first two of one.
func heardTurns(ctx context.Context, set listen.Settings, files []string) (turns [2][]lines.Played, err error) {
	for i, file := range files {
		r, err := decode.Open(ctx, file)
		if err != nil {
			return turns, err
		}
		sess, err := listen.NewSession(set, r.Rate())
		if err == nil {
			err = listen.Run(ctx, r, nil, sess, nil)
		}
		if err = errors.Join(err, r.Close()); err != nil {
			return turns, fmt.Errorf("listening to %q: %w", file, err)
		}
		verdicts := sess.Verdicts()
		if len(verdicts) == 0 {
			return turns, fmt.Errorf("%q holds no whole turn; say where beat 1 falls with --first-beat", file)
		}
		begun := verdicts[0].Turn
		for _, v := range verdicts {
			turn := v.Turn - begun + i
			if turn > 1 || len(files) == 2 && turn > i || v.Heard == nil || v.Pitch == match.Missing {
				continue
			}
			midi := v.Heard.MIDI
			if v.Item.Landing && v.Pitch == match.Right {
				midi = v.ExpectedMIDI // of its chord the tonic in the bass
			}
			turns[turn] = append(turns[turn], lines.Played{
				Position: v.Item.Position, MIDI: midi - set.Cejilla,
				Confidence: v.Heard.Confidence, Sure: v.Pitch.Sworn(),
			})
		}
		if last := verdicts[len(verdicts)-1].Turn; len(files) == 1 && last == begun {
			return turns, fmt.Errorf("%q holds one turn; play the line twice, or give two recordings", file)
		}
	}
	return turns, nil
}

// settle asks at a terminal where the turns disagree, and returns what stays open.
func (a *app) settle(c *lines.Captured) (open []string, err error) {
	spell := func(midi int) string {
		if midi == 0 {
			return ""
		}
		return c.Line.Key.Spell(midi).String()
	}
	in := bufio.NewReader(a.stdin)
	for _, q := range c.Questions {
		said := language.Differ(q.Position.String(), spell(q.First), spell(q.Second), spell(q.Guess))
		a.talk("%s", said)
		if !isTerminal(a.stdin) {
			open = append(open, said)
			continue
		}
		for {
			fmt.Fprint(a.stderr, language.Answer()+" ")
			answer, err := in.ReadString('\n')
			if err != nil && answer == "" {
				return open, nil
			}
			midi := q.Guess
			switch answer = strings.TrimSpace(answer); answer {
			case "":
			case "1":
				midi = q.First
			case "2":
				midi = q.Second
			case "none", language.None():
				midi = 0
			default:
				note, err := theory.ParseNote(answer)
				if err != nil {
					a.talk("bordon: %s", inWords(err))
					continue
				}
				midi = note.MIDI()
			}
			if err := c.Answer(q, midi); err != nil {
				a.talk("bordon: %s", inWords(err))
				continue
			}
			break
		}
	}
	return open, nil
}

// saveLine makes a line the player's own; one that is there already stays.
func (a *app) saveLine(name, text string) error {
	if _, err := theory.ParseLines(text, func(name string) (theory.Form, error) { return forms.Lookup("", name) }); err != nil {
		return fmt.Errorf("keeping line %q: %w", name, err)
	}
	path := filepath.Join(lines.Folder(), name+lines.Extension)
	if _, err := os.Stat(path); err == nil {
		return fmt.Errorf("there is a file %q already; give the line another name", path)
	}
	if err := os.MkdirAll(lines.Folder(), 0o755); err != nil {
		return fmt.Errorf("cannot make the folder of the lines: %w", err)
	}
	if err := take.WriteFile(path, []byte(text)); err != nil {
		return fmt.Errorf("cannot keep the line: %w", err)
	}
	a.talk("%s", language.LineKept(printable(path)))
	return nil
}
