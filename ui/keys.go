package ui

import (
	"fmt"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"
)

// Do is what the player asks of a session.
type Do int

// What can be asked.
const (
	Nothing Do = iota
	GoOn       // start, stop, or go on
	Again      // begin again
	Next       // the next key or part
	Keep       // the last take
	Discard    // the last take
	Replay     // play what was played, then what was asked
	Edit       // practise as Command.Text says
	large
	overrule
	help
	end
)

// Command is one thing that the player asks for.
type Command struct {
	Do   Do
	Text string // of Edit: a sentence that Live.Check has let pass
}

// standard are the keys as they are. One letter each; space and enter too,
// which page-turner pedals can send.
var standard = map[string]Do{
	" ": GoOn, "enter": GoOn, "a": Again, "n": Next, "k": Keep, "d": Discard, "p": Replay, "e": Edit,
	"l": large, "v": overrule, "?": help, "q": end, "ctrl+c": end,
}

// mappable are the names by which keys are mapped.
var mappable = map[string]Do{
	"start": GoOn, "again": Again, "next": Next, "keep": Keep, "discard": Discard, "hear": Replay, "large": large, "end": end,
}

// Keys are keys that the player maps, beside the standard ones.
type Keys map[string]Do

// ParseKeys reads keys such as "start=pgdown,again=pgup,next=f5": what is done,
// and the name of the key that does it. The error names what is wrong.
func ParseKeys(text string) (Keys, error) {
	keys := Keys{}
	for _, part := range strings.Split(text, ",") {
		if strings.TrimSpace(part) == "" {
			continue
		}
		what, key, ok := strings.Cut(strings.TrimSpace(part), "=")
		do, known := mappable[strings.TrimSpace(what)]
		if !ok || !known {
			names := make([]string, 0, len(mappable))
			for n := range mappable {
				names = append(names, n)
			}
			slices.Sort(names)
			return nil, fmt.Errorf("keys %.40q: write what it does and the key, such as start=pgdown; what can be done is %s", part, strings.Join(names, ", "))
		}
		name, err := keyName(key)
		if err != nil {
			return nil, fmt.Errorf("keys %.40q: %w", part, err)
		}
		if name == "ctrl+c" {
			return nil, fmt.Errorf("keys %.40q: ctrl+c ends the program; map another key", part)
		}
		if _, twice := keys[name]; twice {
			return nil, fmt.Errorf("keys %.40q: %s is mapped twice", part, key)
		}
		keys[name] = do
	}
	return keys, nil
}

// named are the keys that are no characters.
var named = map[string]bool{"enter": true, "space": true, "tab": true, "esc": true, "up": true, "down": true, "left": true, "right": true,
	"pgup": true, "pgdown": true, "home": true, "end": true, "backspace": true, "delete": true, "insert": true}

func keyName(s string) (string, error) {
	low := strings.ToLower(strings.TrimSpace(s))
	switch {
	case low == "space":
		return " ", nil
	case named[low]:
		return low, nil
	case len(low) >= 2 && len(low) <= 3 && low[0] == 'f' && strings.Trim(low[1:], "0123456789") == "" && low[1] != '0':
		return low, nil
	case len(low) == 6 && strings.HasPrefix(low, "ctrl+") && low[5] >= 'a' && low[5] <= 'z':
		return low, nil
	case len([]rune(strings.TrimSpace(s))) == 1:
		return strings.TrimSpace(s), nil
	}
	return "", fmt.Errorf("%.20q is no key; name a character, or space, enter, tab, pgup, pgdown, up, down, left, right, home, end, f1 to f12", s)
}

// of is what a key does.
func (k Keys) of(msg tea.KeyMsg) Do {
	if do, ok := k[msg.String()]; ok {
		return do
	}
	return standard[msg.String()]
}
