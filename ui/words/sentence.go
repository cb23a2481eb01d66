package words

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"bordon/theory"
)

// A sentence on how to practise is read in English by listen/practice. In another
// language it is said clause by clause, and either is understood.

// Practice is a sentence on how to practise, said in this language, in English;
// a clause that is none of this language's stays as it is.
func (l *Language) Practice(said string) string {
	return l.byClause(said, func(c clause) (*regexp.Regexp, string) { return c.there, c.english }, l.keyRead)
}

// Practised is an English sentence on how to practise in this language.
func (l *Language) Practised(english string) string {
	return l.byClause(english, func(c clause) (*regexp.Regexp, string) { return c.here, c.said }, l.keySaid)
}

// clause is one in English and in another language.
type clause struct {
	english, said string
	here, there   *regexp.Regexp // as they are read
}

// thenKey is what parts keys in a row; it is no clause by itself.
const thenKey = "{keys} then {key}"

// byClause says each clause of a sentence in other words.
func (l *Language) byClause(sentence string, way func(clause) (from *regexp.Regexp, to string), key func(string) string) string {
	all := l.clauses()
	if len(all) == 0 {
		return sentence
	}
	// one is a clause, or a turn of a plan, in the other words.
	var one func(s string) string
	one = func(s string) string {
		s = strings.Join(strings.Fields(s), " ")
		for _, c := range all {
			from, to := way(c)
			m := from.FindStringSubmatch(s)
			if m == nil || c.english == thenKey {
				continue
			}
			for i, name := range from.SubexpNames() {
				part := m[i]
				switch name {
				case "":
					continue
				case "keys":
					part = l.keys(part, way, key)
				case "turns":
					turns := strings.Split(part, ";")
					for k, t := range turns {
						times, rest, _ := strings.Cut(strings.TrimSpace(t), " ")
						if _, err := strconv.Atoi(times); err != nil {
							turns[k] = one(t)
						} else {
							turns[k] = times + " " + one(rest)
						}
					}
					part = strings.Join(turns, "; ")
				}
				to = strings.ReplaceAll(to, "{"+name+"}", part)
			}
			return to
		}
		return s
	}
	parts := strings.Split(sentence, ",")
	for i, p := range parts {
		parts[i] = one(p)
	}
	return strings.Join(parts, ", ")
}

// keys are keys in a row in the other words: "G then F", "Sol luego Fa".
func (l *Language) keys(row string, way func(clause) (*regexp.Regexp, string), key func(string) string) string {
	for _, c := range l.clauses() {
		if c.english != thenKey {
			continue
		}
		from, to := way(c)
		if m := from.FindStringSubmatch(row); m != nil {
			return strings.NewReplacer("{keys}", l.keys(m[from.SubexpIndex("keys")], way, key), "{key}", key(m[from.SubexpIndex("key")])).Replace(to)
		}
	}
	return key(row)
}

// keyRead is a key as theory writes it, of one in any of its names.
func (l *Language) keyRead(said string) string {
	if k, err := theory.ParseKey(said); err == nil && !strings.HasPrefix(strings.ToLower(said), "por") {
		return k.String()
	}
	return strings.Replace(said, "por ", "por-", 1)
}

// keySaid is a key as this language names it in a word; a player's name stays.
func (l *Language) keySaid(key string) string {
	k, err := theory.ParseKey(key)
	if err != nil || k.String() != key || l.letters == asLetters {
		return key
	}
	return l.Name(k.Tonic) + map[theory.Mode]string{theory.Minor: "m", theory.Phrygian: "-frigio"}[k.Mode]
}

var (
	claused   sync.Mutex
	ofClauses = map[string][]clause{}
)

// vowels are read with an accent and without.
var vowels = strings.NewReplacer("a", "[aá]", "e", "[eé]", "i", "[ií]", "o", "[oó]", "u", "[uúü]", "n", "[nñ]",
	"á", "[aá]", "é", "[eé]", "í", "[ií]", "ó", "[oó]", "ú", "[uúü]", "ñ", "[nñ]")

// clauses are those that the language can say, what says most first.
func (l *Language) clauses() []clause {
	claused.Lock()
	defer claused.Unlock()
	if all, ok := ofClauses[l.Tag]; ok {
		return all
	}
	pattern := func(s string) *regexp.Regexp {
		var b strings.Builder
		b.WriteString("(?i)^")
		at := 0
		for _, m := range braces.FindAllStringSubmatchIndex(s, -1) {
			b.WriteString(vowels.Replace(regexp.QuoteMeta(s[at:m[0]])))
			b.WriteString("(?P<" + s[m[2]:m[3]] + ">.+)")
			at = m[1]
		}
		b.WriteString(vowels.Replace(regexp.QuoteMeta(s[at:])) + "$")
		return regexp.MustCompile(b.String())
	}
	var all []clause
	for id, said := range l.more {
		if english, ok := strings.CutPrefix(id, "clauses."); ok {
			all = append(all, clause{english, said, pattern(english), pattern(said)})
		}
	}
	own := func(s string) int { return len(braces.ReplaceAllString(s, "")) }
	slices.SortFunc(all, func(a, b clause) int {
		if n := own(b.english) + own(b.said) - own(a.english) - own(a.said); n != 0 {
			return n
		}
		return strings.Compare(a.english, b.english)
	})
	ofClauses[l.Tag] = all
	return all
}

var braces = regexp.MustCompile(`\{(\w+)\}`)
