package ui

import (
	"slices"
	"strings"

	"bordon/ui/page"
)

// View only draws.
func (m model) View() string {
	foot := m.foot()
	room := max(m.height-len(foot), 1)
	var lines []string
	for _, l := range m.body(room) {
		lines = append(lines, m.styles.line(l))
	}
	if len(lines) > room {
		lines = lines[:room]
	}
	for len(lines) < room {
		lines = append(lines, "")
	}
	for _, l := range foot {
		lines = append(lines, m.styles.line(l))
	}
	return strings.Join(lines[:min(len(lines), m.height)], "\n")
}

// body is what stands over the foot, in at most that many lines.
func (m model) body(room int) []page.Line {
	switch {
	case m.opening != nil:
		var lines []page.Line
		for _, l := range m.opening(m.width) {
			lines = append(lines, l.Cut(m.width))
		}
		return lines
	case m.help:
		return m.keyHelp()
	case m.choose.on:
		p := m.page()
		p.Chosen = &m.choose.at
		return page.Draw(p, m.width, room)
	case m.large:
		return page.Large(m.page(), m.width, room)
	}
	return page.Draw(m.page(), m.width, room)
}

// page is the page as it stands. What is said beneath it is not said on it too.
func (m model) page() page.Page {
	p := m.writer.Page()
	if slices.Contains(m.stand.said, p.Last) {
		p.Last = ""
	}
	return p
}

// foot is what stands under the page: what there is to say, how it is
// practised, and the keys.
func (m model) foot() []page.Line {
	if m.choose.on {
		return m.chooseFoot()
	}
	l := m.live.Words
	var foot []page.Line
	say := func(role page.Role, s string) {
		for _, text := range indented(s, m.width) {
			foot = append(foot, page.Line{{Text: text, Role: role}})
		}
	}
	if m.live.Note != "" && m.height >= noteHeight && !m.large && m.opening == nil {
		say(page.Heading, m.live.Note)
	}
	for _, s := range m.stand.said {
		say(page.Said, s)
	}
	p := m.writer.Page()
	if m.opening != nil && p.CountIn > 0 && !p.Lead {
		say(page.Ahead, l.CountIn(p.CountIn))
	}
	if m.place != nil && !m.ended && !m.large {
		say(page.Ahead, l.PlaceNow(m.place.Turn, m.place.Beat))
	}
	switch {
	case m.said != "":
		say(page.Ahead, m.said)
	case p.Untimed && p.Next != nil && !m.stand.stands && !m.ended:
		say(page.Ahead, l.Waiting(p.Next.Note))
	}
	if m.rest {
		say(page.Remark, l.Rest())
	}
	if m.editing {
		say(page.Heading, l.EditSentence())
		if m.wrong != "" {
			say(page.Wrong, m.wrong)
		}
		return append(foot, page.Line{{Text: m.input.View(), Role: page.Plain}})
	}
	if m.live.Sentence != "" && m.height >= noteHeight {
		say(page.Heading, m.live.Sentence)
	}
	return append(foot, page.Line{{Text: cut(m.keyLine(), m.width), Role: page.Heading}})
}

// keyLine is the line of keys: those that matter now. Where they do not all
// fit, they stand closer together, and then those that matter least are left
// to the list of keys.
func (m model) keyLine() string {
	l := m.live.Words
	k := l.PracticeKeys()
	var first, more []string
	last := []string{"q " + l.End(), "? " + l.Keys()}
	if m.live.Sentence != "" && !m.ended {
		more = append(more, "e "+k.Edit)
	}
	switch {
	case m.ended:
		first = []string{l.Over()}
	case m.stand.stands:
		first = []string{l.Space() + " " + k.Start, "a " + k.Again, "p " + k.Play, "d " + k.Discard}
	case m.live.Commands:
		first, more, last = last, append([]string{"a " + k.Again}, more...), nil
	default:
		more = nil
	}
	if m.canOverrule() {
		more = append(more, "v "+l.Overrule())
	}
	for gap := "   "; ; gap = "  " {
		line := "  " + strings.Join(slices.Concat(first, more, last), gap)
		switch {
		case len([]rune(line)) <= m.width || gap == "  " && len(more) == 0 && len(first) < 2:
			return line
		case gap == "   ":
		case len(more) > 0:
			more = more[:len(more)-1]
		default:
			first = first[:len(first)-1]
		}
	}
}

// keyHelp lists the keys.
func (m model) keyHelp() []page.Line {
	l := m.live.Words
	k := l.PracticeKeys()
	rows := [][2]string{}
	if m.live.Commands {
		rows = append(rows, [][2]string{{l.Space() + ", " + l.Enter(), k.StartHelp + "; " + k.StopHelp}, {"a", k.AgainHelp}, {"n", k.NextHelp},
			{"k", k.KeepHelp}, {"d", k.DiscardHelp}, {"p", k.PlayHelp}}...)
		if m.live.Sentence != "" {
			rows = append(rows, [2]string{"e", k.EditHelp})
		}
	}
	if m.canOverrule() {
		rows = append(rows, m.overruleHelp()...)
	}
	rows = append(rows, [2]string{"l", k.LargeHelp}, [2]string{"q, ctrl-c", l.EndHelp()}, [2]string{"?", l.KeysHelp()})
	lines := []page.Line{{}}
	for _, r := range rows {
		texts := page.Wrap(r[1], max(m.width-18, 10))
		for i, s := range texts {
			head := ""
			if i == 0 {
				head = r[0]
			}
			lines = append(lines, page.Line{{Text: "  " + pad(head, 15), Role: page.Ahead}, {Text: s, Role: page.Plain}})
		}
	}
	if m.live.Commands {
		lines = append(lines, page.Line{})
		for _, s := range indented(l.Taps(), m.width) {
			lines = append(lines, page.Line{{Text: s, Role: page.Said}})
		}
	}
	return lines
}

func indented(s string, width int) []string {
	lines := page.Wrap(s, width-4)
	for i := range lines {
		lines[i] = "  " + lines[i]
	}
	return lines
}

func pad(s string, width int) string {
	return s + strings.Repeat(" ", max(width-len([]rune(s)), 1))
}

func cut(s string, width int) string {
	if r := []rune(s); len(r) > width {
		return string(r[:max(width, 0)])
	}
	return s
}
