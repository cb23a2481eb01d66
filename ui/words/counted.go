package words

import (
	"strconv"

	"github.com/nicksnyder/go-i18n/v2/i18n"
)

// counted is a message on {n} things. English has one form for one thing and
// another for all other numbers. What other languages tell apart, and by which
// numbers, is theirs (Unicode CLDR): there the message stays where it was read.
type counted struct {
	one, other string
	read       *i18n.Localizer // nil for English
	id         string
}

// of is the message on n things.
func (c counted) of(n int) string {
	message := c.other
	if n == 1 {
		message = c.one
	}
	if c.read != nil {
		// Where a form is missing there is an error, and still a text.
		if s, _ := c.read.Localize(&i18n.LocalizeConfig{MessageID: c.id, PluralCount: n}); s != "" {
			message = s
		}
	}
	return fill(message, "n", strconv.Itoa(n))
}
