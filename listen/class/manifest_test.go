package class

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReadManifest(t *testing.T) {
	const text = "\ufeffkey, Student ,file,first_beat,LINE\r\n" +
		"G,\"Lucia \"\"la de G\"\"\",one.m4a,1.84,\"7:3 8:2\n9:7 10:1\"\r\n" +
		",,ana-F-cejilla1-92.wav,,\r\n" +
		",,,,\r\n" +
		"D,\"two\nlines\u202e\",deep/two.flac,-2,best\r\n"
	got, err := ReadManifest(strings.NewReader(text))
	require.NoError(t, err)
	require.Len(t, got, 3)
	assert.Equal(t, `Lucia "la de G"`, got[0].Of(Student))
	assert.Equal(t, "G", got[0].Of(Key))
	assert.Equal(t, "1.84", got[0].Of(FirstBeat))
	assert.Equal(t, "7:3 8:2\n9:7 10:1", got[0].Of(Line))
	assert.Equal(t, "ana", got[1].Of(Student), "an empty cell is left to the name")
	assert.Equal(t, "1", got[1].Of(Cejilla))
	assert.Equal(t, "two lines", got[2].Of(Student))
	for _, g := range got {
		assert.NoError(t, g.Err)
	}

	got, err = ReadManifest(strings.NewReader("file;tempo\nane.wav;104,5\n"))
	require.NoError(t, err)
	assert.Equal(t, "104,5", got[0].Of(Tempo), "as spreadsheets write it where the comma is in numbers")
}

func TestManifestIsRefused(t *testing.T) {
	tests := []struct{ name, text, says string }{
		{"nothing", "", "it is empty"},
		{"a column that is none", "file,speed\n", `line 1: there is no column "speed"; the columns are file, student, key, cejilla, tempo, first-beat, form, line`},
		{"a long column", strings.Repeat("x", 500) + ",file\n", strings.Repeat("x", 40) + "..."},
		{"a column twice", "file,key,Key\n", "the column key is there twice"},
		{"no file", "student,key\n", "no column file"},
		{"a row too long", "file,key\na.wav,G,3\n", "line 2: it has 3 cells and the first line names 2 columns"},
		{"a row too short", "file,key\n\na.wav\n", "line 3: it has 1 cells"},
		{"an open quote", "file,key\na.wav,\"G\nb.wav,D\n", "RFC 4180"},
		{"a file twice", "file\na.wav\nb.wav\na.wav\n", `line 4: it names the file "a.wav" again, after line 2`},
		{"not UTF-8", "file,student\na.wav,Jos\xe9\n", "UTF-8"},
		{"a cell of ten thousand letters", "file,student\na.wav," + strings.Repeat("a", 10000) + "\n", "line 2: what it says under student is longer than 1000 bytes"},
		{"a row without end", "file\n" + strings.Repeat("a,", 600000), "larger than 1 MiB"},
		{"too many rows", "file,key\n" + manyRows(maxRows+1), "more than 5000"},
		{"a row without a file", "file,key\n,G\n", "line 2: it names no file"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := ReadManifest(strings.NewReader(tt.text))
			require.Error(t, err)
			assert.Contains(t, err.Error(), tt.says)
			assert.NotContains(t, err.Error(), "\n")
			assert.Less(t, len(err.Error()), 300)
		})
	}
}

func manyRows(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "%d.wav,G\n", i)
	}
	return b.String()
}

// Whatever a manifest names, nothing outside the folder is opened.
func TestPathsStayInside(t *testing.T) {
	dir := t.TempDir()
	folder := filepath.Join(dir, "class")
	require.NoError(t, os.MkdirAll(filepath.Join(folder, "deep"), 0o755))
	for _, f := range []string{"outside.wav", "class/in.wav", "class/deep/er.wav", "class/..odd.wav"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, f), []byte("x"), 0o644))
	}
	require.NoError(t, os.Symlink(filepath.Join(dir, "outside.wav"), filepath.Join(folder, "link.wav")))
	require.NoError(t, os.Symlink("in.wav", filepath.Join(folder, "own.wav")))
	require.NoError(t, os.Symlink("..", filepath.Join(folder, "up")))
	tests := []struct {
		file string
		says string // "" where it is taken
	}{
		{"in.wav", ""}, {"deep/er.wav", ""}, {"..odd.wav", ""}, {"own.wav", ""},
		{"../outside.wav", "does not lie in the folder"},
		{"deep/../../outside.wav", "does not lie in the folder"},
		{filepath.Join(dir, "outside.wav"), "does not lie in the folder"},
		{"./in.wav", "does not lie in the folder"},
		{"in.wav\x00.txt", "does not lie in the folder"},
		{".", "does not lie in the folder"},
		{"link.wav", "leads out of the folder"},
		{"up/outside.wav", "no such file"},
		{"gone.wav", "no such file"},
	}
	for _, tt := range tests {
		err := within(folder, tt.file)
		if tt.says == "" {
			assert.NoError(t, err, tt.file)
		} else if assert.Error(t, err, tt.file) {
			assert.Contains(t, err.Error(), tt.says, tt.file)
		}
	}
}

func TestOpen(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{
		ManifestName: "file,key\nz.ogg,G\ngone.wav,D\n", "z.ogg": "x", "b-D.WAV": "x", "a-F-92.mp4": "x", "notes.pdf": "x", ".DS_Store": "x", "._a-F-92.mp4": "x",
	} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
	}
	require.NoError(t, os.Mkdir(filepath.Join(dir, "old.wav"), 0o755))
	f, err := Open(dir, "")
	require.NoError(t, err)
	var files []string
	for i := range f.All {
		files = append(files, f.All[i].Of(File))
	}
	assert.Equal(t, []string{"a-F-92.mp4", "b-D.WAV", "gone.wav", "z.ogg"}, files)
	assert.Equal(t, "F", f.All[0].Of(Key))
	assert.Error(t, f.All[2].Err)
	assert.Equal(t, "G", f.All[3].Of(Key))
	assert.Equal(t, []string{"notes.pdf"}, f.Alone)

	require.NoError(t, os.Rename(filepath.Join(dir, "notes.pdf"), filepath.Join(dir, "list.csv")))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "list.csv"), []byte("file,key\nz.ogg,F\n"), 0o644))
	f, err = Open(dir, filepath.Join(dir, "list.csv"))
	require.NoError(t, err)
	assert.Empty(t, f.Alone)
	assert.Equal(t, "F", f.All[2].Of(Key), "the manifest that is named counts, and not the one that lies there")

	f, err = Open(dir, "", "z.ogg")
	require.NoError(t, err)
	require.Len(t, f.All, 1)
	assert.Equal(t, "G", f.All[0].Of(Key), "the manifest is read for one file too")

	_, err = Open(dir, filepath.Join(dir, "none.csv"))
	assert.ErrorContains(t, err, "none.csv")
	require.NoError(t, os.WriteFile(filepath.Join(dir, ManifestName), []byte("speed\n"), 0o644))
	_, err = Open(dir, "")
	assert.ErrorContains(t, err, "speed")
}

func FuzzReadManifest(f *testing.F) {
	for _, s := range []string{"file,student,key\na.wav,Lucia,G\n", "file;tempo\n\"a\";1\n", "\ufefffile\n\"a\n", "file,key\n../a,G\n"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, err := ReadManifest(strings.NewReader(text))
		if err != nil {
			assert.Nil(t, got)
			return
		}
		seen := map[string]bool{}
		for i := range got {
			file := got[i].Of(File)
			assert.False(t, seen[file], "a file is there once")
			seen[file] = true
			if got[i].Err == nil {
				assert.True(t, filepath.IsLocal(file), "%q", file)
			}
		}
	})
}
