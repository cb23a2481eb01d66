package lines

import (
	"fmt"
	"strconv"
	"strings"

	"bordon/theory"
)

// The names of the lines that are built in: best, best-2 and so on are the
// finder's, usual is the form's own.
const (
	Best  = "best"
	Usual = "usual"
)

// builtIn are how many of the finder's lines have names.
const builtIn = 9

// Named is a line in a key: what it says where it is written out in the
// grammar of theory.ParseLine, a built-in one or one of the player's own where
// it is a name. A line of the player's that was written in another key is moved
// by degree. The error of an unknown name lists those there are.
func Named(name string, key theory.Key, form theory.Form, tuning theory.Tuning) (theory.Line, error) {
	folded := strings.ToLower(strings.TrimSpace(name))
	if folded == Usual {
		return theory.DefaultLine(key, form, tuning)
	}
	if rank, ok := rankOf(folded); ok {
		walks, err := theory.Find(key, form, tuning, rank)
		if err != nil {
			return theory.Line{}, err
		}
		if len(walks) < rank {
			return theory.Line{}, fmt.Errorf("line %q: %s in %v has only %d; name one of these", name, form.Title, key, len(walks))
		}
		return walks[rank-1].Line(), nil
	}
	if strings.Contains(name, ":") || strings.TrimSpace(name) == "" {
		return theory.ParseLine(name, key, form, tuning)
	}
	own, err := lookup(name)
	if err != nil {
		return theory.Line{}, err
	}
	return own.In(key, form, tuning)
}

// rankOf reads best and best-2 to best-9.
func rankOf(name string) (rank int, ok bool) {
	if name == Best {
		return 1, true
	}
	after, found := strings.CutPrefix(name, Best+"-")
	rank, err := strconv.Atoi(after)
	return rank, found && err == nil && rank >= 1 && rank <= builtIn && strconv.Itoa(rank) == after
}
