package words

import (
	"regexp"
	"slices"
	"strings"
	"sync"
)

// What the command line says, English keeps where it is said: the help of a
// command with the command, a problem where it is found. Here it is said in
// another language, by the English sentence or by the command's name; what a
// language lacks stays English.

// Help is a part, short or long, of the help of a command.
func (l *Language) Help(command, part, english string) string {
	return l.further("help."+command+"."+part, english)
}

// Flag says what a flag does, Comment what is said behind an example.
func (l *Language) Flag(english string) string { return l.further("flags."+english, english) }
func (l *Language) Comment(english string) string {
	return l.further("help.comments."+english, english)
}

// Usage is a word or a sentence of the frame that the help of every command has,
// with pairs of a name and its text filled in.
func (l *Language) Usage(name, english string, pairs ...string) string {
	return fill(l.further("usage."+name, english), pairs...)
}

func (l *Language) further(id, english string) string {
	if s, ok := l.more[id]; ok {
		return s
	}
	return english
}

// Problem says what is wrong, an error's sentence in English, in this language.
// What it is made of is said in this language too: in "judging {file}: {why}"
// the why.
func (l *Language) Problem(english string) string {
	return l.problem(english, 6)
}

func (l *Language) problem(english string, deep int) string {
	if deep == 0 || l.more == nil {
		return english
	}
	for _, p := range l.problems() {
		m := p.english.FindStringSubmatch(english)
		if m == nil {
			continue
		}
		said := p.said
		for i, name := range p.english.SubexpNames() {
			if i > 0 {
				said = strings.ReplaceAll(said, "{"+name+"}", l.problem(m[i], deep-1))
			}
		}
		return said
	}
	return english
}

// wording is a problem in English and in another language.
type wording struct {
	english *regexp.Regexp
	said    string
	letters int // of the English one that are its own
}

var (
	compiling sync.Mutex
	compiled  = map[string][]wording{}
)

var toFill = regexp.MustCompile(`\\\{(\w+)\\\}`)

// problems are those that the language can say, what says most first.
func (l *Language) problems() []wording {
	compiling.Lock()
	defer compiling.Unlock()
	if all, ok := compiled[l.Tag]; ok {
		return all
	}
	var all []wording
	for id, said := range l.more {
		english, ok := strings.CutPrefix(id, "problems.")
		if !ok {
			continue
		}
		quoted := regexp.QuoteMeta(english)
		pattern := toFill.ReplaceAllString(quoted, `(?P<$1>.+?)`)
		all = append(all, wording{regexp.MustCompile(`(?s)^` + pattern + `$`), said, len(toFill.ReplaceAllString(quoted, ""))})
	}
	slices.SortFunc(all, func(a, b wording) int {
		if a.letters != b.letters {
			return b.letters - a.letters
		}
		return strings.Compare(a.english.String(), b.english.String())
	})
	compiled[l.Tag] = all
	return all
}
