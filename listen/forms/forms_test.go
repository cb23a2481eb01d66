package forms_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/adrg/xdg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/listen/forms"
	"bordon/theory"
)

const rumba = "form rumba\nbeats 4\nchords 1:5+7 3:1\nline 1:3 2:7 3:1\nsection lenta\ntempo 60\n"

func folder(t *testing.T, files map[string]string) string {
	dir := t.TempDir()
	for name, text := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	return dir
}

func TestLookup(t *testing.T) {
	dir := folder(t, map[string]string{"rumba.form": rumba})
	for name, want := range map[string]string{"rumba": "rumba", "rumba/lenta": "rumba/lenta", "soleá": "solea", "alegrias/silencio": "alegrias/silencio", "free:7": "free:7"} {
		f, err := forms.Lookup(dir, name)
		require.NoError(t, err, name)
		assert.Equal(t, want, f.Name)
	}
}

func TestLookupErrors(t *testing.T) {
	dir := folder(t, map[string]string{
		"rumba.form": rumba,
		"other.form": "form x\nbeats 4",
		"solea.form": "form solea\nbeats 4",
		"bad.form":   "form bad\nbeats 4\naccents 2 9\n",
		"long.form":  "form long\nbeats 4\n" + strings.Repeat("# comment\n", 10000),
		"notes.txt":  "no form",
	})
	require.NoError(t, os.Mkdir(filepath.Join(dir, "dir.form"), 0o700))
	for name, want := range map[string]string{
		"waltz":        `form "waltz": there is none of this name; the forms are alegrias,`,
		"rumba/presto": `rumba has no section "presto"; its sections are lenta`,
		"other":        "other.form: its form is x; name the file x.form, or the form other",
		"bad":          `bad.form, line 3, column 11: "9" is no beat of bad`,
		"long":         "write one of at most 65536",
		"dir":          "dir.form is no plain file",
		"../rumba":     `form "../rumba": there is none of this name`,
		"alegrias/x":   "its sections are compas, escobilla, silencio",
		"":             `form "": there is none`,
		"free:99":      "write 1 to 64",
	} {
		_, err := forms.Lookup(dir, name)
		assert.ErrorContains(t, err, want, name)
	}
	_, err := forms.Lookup(dir, "waltz")
	assert.ErrorContains(t, err, "your own are bad, dir, long, other, rumba, solea")
	_, err = forms.Lookup(t.TempDir(), "waltz")
	assert.ErrorContains(t, err, "your own go into")
	f, err := forms.Lookup(dir, "solea")
	require.NoError(t, err)
	assert.Equal(t, 12, f.Beats, "a built-in form is not replaced")
	_, err = forms.Read(filepath.Join(dir, "solea.form"))
	assert.ErrorContains(t, err, "a form named solea is built in")
}

func TestDirIsInTheConfigFolder(t *testing.T) {
	home := t.TempDir()
	t.Setenv("XDG_CONFIG_HOME", home)
	xdg.Reload()
	t.Cleanup(xdg.Reload)
	assert.Equal(t, filepath.Join(home, "bordon", "forms"), forms.Dir())
	require.NoError(t, os.MkdirAll(forms.Dir(), 0o700))
	require.NoError(t, os.WriteFile(filepath.Join(forms.Dir(), "rumba.form"), []byte(rumba), 0o600))
	f, err := forms.Lookup("", "rumba")
	require.NoError(t, err)
	assert.Equal(t, "rumba", f.Name)
	assert.Equal(t, []string{"rumba"}, forms.Own(""))
}

func ExampleRead() {
	dir, err := os.MkdirTemp("", "forms")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "rumba.form")
	if err := os.WriteFile(path, []byte("form rumba\nbeats 4\nline 1:3 2:7 3:1\n"), 0o600); err != nil {
		fmt.Println(err)
		return
	}
	form, err := forms.Read(path)
	fmt.Println(form.Name, form.Beats, form.WalkIn(theory.Major), err)
	// Output:
	// rumba 4 1:3 2:7 3:1 <nil>
}
