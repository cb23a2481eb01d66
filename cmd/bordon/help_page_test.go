package main

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/ui/words"
)

// everyCommand calls f with the words of every command, root's being none.
func everyCommand(f func(cmd *cobra.Command, path []string)) {
	var walk func(*cobra.Command)
	walk = func(cmd *cobra.Command) {
		f(cmd, strings.Fields(cmd.CommandPath())[1:])
		for _, c := range cmd.Commands() {
			walk(c)
		}
	}
	walk((&app{sound: silent(sound{})}).root())
}

// Help fits a terminal that nobody has made wider (80 columns, common practice
// since the VT100), in every language, and has all the words of its text.
func TestHelpFits(t *testing.T) {
	t.Cleanup(func() { language = words.English })
	for _, tag := range words.Tags() {
		n := 0
		everyCommand(func(_ *cobra.Command, path []string) {
			n++
			r := bordonIn(t, nil, append(path, "--help", "--language", tag)...)
			require.Equal(t, done, r.status)
			for line := range strings.Lines(r.out) {
				assert.LessOrEqual(t, utf8.RuneCountInString(strings.TrimRight(line, "\n")), helpWidth, "%s %v: %s", tag, path, line)
			}
		})
		assert.Greater(t, n, 25)
	}
}

func TestHelpKeepsEveryWord(t *testing.T) {
	squeeze := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	everyCommand(func(cmd *cobra.Command, path []string) {
		r := bordon(t, append(path, "--help")...)
		said := squeeze(r.out)
		assert.Contains(t, said, squeeze(cmd.Long), path)
		for _, c := range cmd.Commands() {
			if c.IsAvailableCommand() {
				assert.Contains(t, said, c.Name()+" "+squeeze(c.Short), path)
			}
		}
		for _, f := range flagList(cmd.LocalFlags()) {
			assert.Contains(t, said, squeeze(f.name+" "+f.does), path)
		}
	})
}

func TestFoldExamples(t *testing.T) {
	for _, tt := range []struct{ text, want string }{
		{"  bordon demo   # short", "  bordon demo   # short"},
		{"  bordon demo --fast   # what is said of it", "  # what is said of it\n  bordon demo --fast"},
		{`  bordon line --keys "D, G, F" --out sheet.html`, "  bordon line --keys \"D, G, F\" \\\n      --out sheet.html"},
		{`  bordon line "7:B2 8:A2 9:F#2 10:G2 and more"`, "  bordon line \\\n      \"7:B2 8:A2 9:F#2 10:G2 and more\""},
	} {
		assert.Equal(t, tt.want, foldExamples(tt.text, 34))
	}
}
