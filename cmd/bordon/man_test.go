package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/ui/words"
)

// manPages writes the manual in every language, and gives the files.
func manPages(t *testing.T) map[string]string {
	t.Helper()
	pages := map[string]string{}
	for _, tag := range words.Tags() {
		r := bordonIn(t, map[string]string{"SOURCE_DATE_EPOCH": "1000000000"}, "man", "--language", tag)
		require.Equal(t, done, r.status, r.errOut)
		pages[tag] = filepath.Join(t.TempDir(), "bordon.1")
		require.NoError(t, os.WriteFile(pages[tag], []byte(r.out), 0o644))
	}
	return pages
}

// Two formatters that are not ours find nothing to complain of.
func TestManualIsWellFormed(t *testing.T) {
	for tag, page := range manPages(t) {
		for _, check := range [][]string{{"mandoc", "-T", "lint", "-W", "style", page}, {"groff", "-Kutf8", "-man", "-ww", "-z", page}} {
			if _, err := exec.LookPath(check[0]); err != nil {
				t.Logf("there is no %s here", check[0])
				continue
			}
			said, err := exec.Command(check[0], check[1:]...).CombinedOutput()
			assert.NoError(t, err, tag)
			assert.Empty(t, string(said), "%s: %s", tag, check[0])
		}
	}
}

// What mandoc shows has every command, every flag and every exit status, and
// no line is wider than the screen.
func TestManualIsComplete(t *testing.T) {
	if _, err := exec.LookPath("mandoc"); err != nil {
		t.Skip("there is no mandoc here")
	}
	for tag, page := range manPages(t) {
		var err error
		language, err = words.In(tag)
		require.NoError(t, err)
		shown, err := exec.Command("mandoc", "-T", "utf8", "-O", "width=80", page).Output()
		require.NoError(t, err)
		var plain strings.Builder // without what is struck over
		for line := range strings.Lines(string(shown)) {
			r := []rune(line)
			var kept []rune
			for i := 0; i < len(r); i++ {
				if r[i] == '\b' && len(kept) > 0 {
					kept = kept[:len(kept)-1]
					continue
				}
				kept = append(kept, r[i])
			}
			assert.LessOrEqual(t, len(kept)-1, 80, "%s: %s", tag, string(kept))
			plain.WriteString(string(kept))
		}
		has := func(what string, of ...any) {
			assert.True(t, strings.Contains(plain.String(), what), "%s %v: %q", tag, of, what)
		}
		has("2001-09-09") // 1000000000 seconds after 1970 began, by date -u
		everyCommand(func(cmd *cobra.Command, path []string) {
			if len(path) == 0 || path[0] == "completion" || path[0] == "help" || path[0] == "man" {
				return
			}
			has("   " + cmd.CommandPath())
			for _, f := range flagList(cmd.LocalNonPersistentFlags()) {
				if name := strings.TrimSpace(f.name); name != "-h, --help" {
					has("\n       "+name, path)
				}
			}
		})
		w := language.Man()
		for _, head := range []string{w.Name, w.Status, w.Files, w.Cautions} {
			has("\n" + strings.ToUpper(head) + "\n")
		}
	}
}

func TestEscaped(t *testing.T) {
	for text, want := range map[string]string{
		`.so /etc/passwd`: `\&.so /etc/passwd`,
		`'br`:             `\(aqbr`,
		`a\b`:             `a\eb`,
		`-k "Bb"`:         `\-k \(dqBb\(dq`,
		`7:5'`:            `7:5\(aq`,
	} {
		assert.Equal(t, want, escaped(text))
	}
}

func TestManualWithABadDate(t *testing.T) {
	for _, date := range []string{"yesterday", "-1", "99999999999999999999"} {
		r := bordonIn(t, map[string]string{"SOURCE_DATE_EPOCH": date}, "man")
		assert.Equal(t, wrong, r.status)
		assert.Empty(t, r.out)
		assert.Contains(t, r.errOut, "seconds since 1970")
	}
}
