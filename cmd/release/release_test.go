package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"context"
	"io"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var day = time.Date(2030, 1, 31, 18, 5, 7, 0, time.UTC)

func TestPack(t *testing.T) {
	all := files{"bin/bordon": []byte("program"), "README.md": []byte("read"), "share/man/man1/bordon.1": []byte(".TH")}
	want := []string{"b-1/README.md 644 read", "b-1/bin/bordon 755 program", "b-1/share/man/man1/bordon.1 644 .TH"}
	var packed bytes.Buffer
	require.NoError(t, packTar(&packed, "b-1", all, day))
	z, err := gzip.NewReader(bytes.NewReader(packed.Bytes()))
	require.NoError(t, err)
	r := tar.NewReader(z)
	var got []string
	for {
		h, err := r.Next()
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
		b, err := io.ReadAll(r)
		require.NoError(t, err)
		got = append(got, h.Name+" "+octal(h.FileInfo().Mode())+" "+string(b))
		assert.True(t, h.ModTime.Equal(day))
		assert.Zero(t, h.Uid+h.Gid)
		assert.Empty(t, h.Uname+h.Gname)
	}
	assert.Equal(t, want, got)

	packed.Reset()
	require.NoError(t, packZip(&packed, "b-1", all, day))
	zr, err := zip.NewReader(bytes.NewReader(packed.Bytes()), int64(packed.Len()))
	require.NoError(t, err)
	got = nil
	for _, f := range zr.File {
		in, err := f.Open()
		require.NoError(t, err)
		b, err := io.ReadAll(in)
		require.NoError(t, err)
		got = append(got, f.Name+" "+octal(f.Mode())+" "+string(b))
		assert.True(t, f.Modified.Equal(day))
	}
	assert.Equal(t, want, got)
}

func octal(m fs.FileMode) string {
	return string([]byte{'0' + byte(m>>6&7), '0' + byte(m>>3&7), '0' + byte(m&7)})
}

// The sums are those of FIPS 180-4: "abc" is its own example.
func TestSums(t *testing.T) {
	assert.Equal(t, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad  a\n"+
		"e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855  b\n", string(sums(files{"b": nil, "a": []byte("abc")})))
}

func TestChoose(t *testing.T) {
	all, err := choose("")
	require.NoError(t, err)
	assert.Len(t, all, 5)
	some, err := choose("windows/amd64,linux/arm64")
	require.NoError(t, err)
	assert.Equal(t, []system{{"windows", "amd64", false}, {"linux", "arm64", false}}, some)
	for _, bad := range []string{"plan9/386", "linux/amd64,", "linux"} {
		_, err := choose(bad)
		assert.ErrorContains(t, err, "there are darwin/amd64, ")
	}
}

// free are the beginnings of licences that let Bordon pass a library on, as the
// Open Source Initiative and the Unlicense's authors publish them.
var free = regexp.MustCompile(`(?is)Permission is hereby granted, free of charge|Redistribution and use in source and binary forms|` +
	`Permission to use, copy, modify, and(/or)? distribute|This is free and unencumbered software|Additional IP Rights Grant|## License\s+MIT\s|Apache License\s+Version 2\.0`)

// Every library's terms are there, and are free ones.
func TestLicencesAreFree(t *testing.T) {
	r := release{root: filepath.Join("..", "..")}
	all, err := r.modules(context.Background(), systems)
	require.NoError(t, err)
	assert.Greater(t, len(all), 35)
	for _, m := range all {
		for file, text := range m.licences {
			assert.True(t, free.MatchString(text), "%s %s", m.name, file)
		}
	}
	notices, err := r.notices(context.Background(), systems)
	require.NoError(t, err)
	assert.Contains(t, notices, "Copyright 2009 The Go Authors")
	for _, m := range all {
		assert.True(t, strings.Contains(notices, "\n"+m.name+" "+m.version), m.name)
	}
}

// What the README points to is there.
func TestLinked(t *testing.T) {
	r := release{root: filepath.Join("..", "..")}
	all, err := r.linked()
	require.NoError(t, err)
	for _, name := range []string{"README.md", "LICENSE", "DEVELOPERS.md", "ui/sheet/OFL.txt"} {
		assert.NotEmpty(t, all[name], name)
	}
	outside := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(outside, "README.md"), []byte("[x](../secret)"), 0o644))
	_, err = (&release{root: outside}).linked()
	assert.ErrorContains(t, err, "../secret")
}

// Two checkouts in different folders, whose files were written at other times,
// give the same archives. BORDON_LONG builds all five, each time with nothing
// kept from before; otherwise it is the one that builds quickest.
func TestReproducible(t *testing.T) {
	if testing.Short() {
		t.Skip("it builds Bordon")
	}
	chosen := "windows/amd64"
	long := os.Getenv("BORDON_LONG") != ""
	if long {
		chosen = ""
	}
	t.Setenv("SOURCE_DATE_EPOCH", "1900000000")
	var sums []string
	var out string
	roots := []string{filepath.Join(t.TempDir(), "a"), filepath.Join(t.TempDir(), "another", "place")}
	for _, root := range roots { // both first: somebody may be writing
		copySource(t, root)
	}
	for _, root := range roots {
		if long {
			t.Setenv("GOCACHE", t.TempDir())
		}
		out = filepath.Join(root, "out")
		r := release{root: root, version: "v0.0.1-test"}
		require.NoError(t, r.run(context.Background(), out, chosen, "", ""))
		b, err := os.ReadFile(filepath.Join(out, "SHA256SUMS"))
		require.NoError(t, err)
		sums = append(sums, string(b))
	}
	assert.Equal(t, sums[0], sums[1])
	t.Log("\n" + sums[0])
	if sha, err := exec.LookPath("sha256sum"); err == nil {
		cmd := exec.Command(sha, "-c", "--strict", "SHA256SUMS")
		cmd.Dir = out
		said, err := cmd.CombinedOutput()
		assert.NoError(t, err, string(said))
	}
	inWindows(t, filepath.Join(out, "bordon-v0.0.1-test-windows-amd64.zip"))
	if file := filepath.Join(out, "bordon-v0.0.1-test-linux-amd64.tar.gz"); long && runtime.GOOS == "linux" {
		inLinux(t, file)
	}
}

// inWindows holds what is in the archive for Windows, and that NOTICES name all
// that Go says is in the program.
func inWindows(t *testing.T, file string) {
	z, err := zip.OpenReader(file)
	require.NoError(t, err)
	defer z.Close()
	all := files{}
	for _, f := range z.File {
		in, err := f.Open()
		require.NoError(t, err)
		name := strings.TrimPrefix(f.Name, "bordon-v0.0.1-test-windows-amd64/")
		all[name], err = io.ReadAll(in)
		require.NoError(t, err)
	}
	names := slices.Collect(maps.Keys(all))
	for _, name := range []string{"bin/bordon.exe", "README.md", "LICENSE", "share/doc/bordon/NOTICES", "share/doc/bordon/OFL.txt",
		"share/man/man1/bordon.1", "share/man/es/man1/bordon.1", "share/" + completions["bash"], "share/" + completions["fish"], "share/" + completions["zsh"]} {
		assert.Contains(t, names, name)
	}
	program := filepath.Join(t.TempDir(), "bordon.exe")
	require.NoError(t, os.WriteFile(program, all["bin/bordon.exe"], 0o755))
	listed, err := exec.Command("go", "version", "-m", program).Output()
	require.NoError(t, err)
	n := 0
	for line := range strings.Lines(string(listed)) {
		if part := strings.Fields(line); len(part) > 2 && part[0] == "dep" {
			n++
			assert.True(t, bytes.Contains(all["share/doc/bordon/NOTICES"], []byte("\n"+part[1]+" "+part[2])), line)
		}
	}
	assert.Greater(t, n, 30)
	home, err := os.UserHomeDir()
	require.NoError(t, err)
	for name, content := range all {
		assert.False(t, bytes.Contains(content, []byte(t.TempDir())) || len(home) > 6 && bytes.Contains(content, []byte(home+"/")), "%s names a folder of this machine", name)
	}
}

// inLinux unpacks the archive for Linux with tar and starts the program.
func inLinux(t *testing.T, file string) {
	dir := t.TempDir()
	said, err := exec.Command("tar", "-xzf", file, "-C", dir).CombinedOutput()
	require.NoError(t, err, string(said))
	cmd := exec.Command(filepath.Join(dir, "bordon-v0.0.1-test-linux-amd64", "bin", "bordon"), "--version")
	cmd.Env = append(os.Environ(), "LC_ALL=C")
	said, err = cmd.CombinedOutput()
	require.NoError(t, err, string(said))
	assert.Equal(t, "bordon v0.0.1-test, with a microphone\n", string(said))
}

// What make install puts below DESTDIR runs there, and make uninstall takes it
// all away.
func TestInstall(t *testing.T) {
	if testing.Short() {
		t.Skip("it builds Bordon")
	}
	if _, err := exec.LookPath("make"); err != nil {
		t.Skip("there is no make here")
	}
	root, dest := filepath.Join(t.TempDir(), "source"), filepath.Join(t.TempDir(), "a place")
	copySource(t, root)
	run := func(args ...string) {
		cmd := exec.Command("make", append(args, "VERSION=v0.0.1-test", "PREFIX=/opt/bordon", "DESTDIR="+dest)...)
		cmd.Dir = root
		cmd.Env = append(os.Environ(), "SOURCE_DATE_EPOCH=1900000000", "MAKEFLAGS=")
		said, err := cmd.CombinedOutput()
		require.NoError(t, err, string(said))
	}
	run("nomic")
	run("install")
	var installed []string
	require.NoError(t, filepath.WalkDir(dest, func(file string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			name, _ := filepath.Rel(filepath.Join(dest, "opt", "bordon"), file)
			i, err := d.Info()
			require.NoError(t, err)
			installed = append(installed, filepath.ToSlash(name)+" "+octal(i.Mode()))
		}
		return err
	}))
	assert.Equal(t, []string{"bin/bordon 755", "share/bash-completion/completions/bordon 644", "share/doc/bordon/LICENSE 644",
		"share/doc/bordon/NOTICES 644", "share/doc/bordon/OFL.txt 644", "share/fish/vendor_completions.d/bordon.fish 644",
		"share/man/es/man1/bordon.1 644", "share/man/man1/bordon.1 644", "share/zsh/site-functions/_bordon 644"}, installed)
	said, err := exec.Command(filepath.Join(dest, "opt/bordon/bin/bordon"), "--version", "--language", "en").Output()
	require.NoError(t, err)
	assert.Equal(t, "bordon v0.0.1-test, without a microphone: it judges recordings\n", string(said))
	manual, err := os.ReadFile(filepath.Join(dest, "opt/bordon/share/man/es/man1/bordon.1"))
	require.NoError(t, err)
	assert.Contains(t, string(manual), `"Manual de Bordon"`)
	for _, shell := range []string{"bash", "zsh", "fish"} {
		if _, err := exec.LookPath(shell); err == nil {
			said, err := exec.Command(shell, "-n", filepath.Join(dest, "opt/bordon/share", completions[shell])).CombinedOutput()
			assert.NoError(t, err, "%s: %s", shell, said)
		}
	}
	run("uninstall")
	require.NoError(t, filepath.WalkDir(dest, func(file string, d fs.DirEntry, err error) error {
		assert.True(t, err == nil && d.IsDir(), file)
		return nil
	}))
}

// copySource copies what a checkout has.
func copySource(t *testing.T, to string) {
	t.Helper()
	from := filepath.Join("..", "..")
	require.NoError(t, filepath.WalkDir(from, func(file string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name, err := filepath.Rel(from, file)
		switch {
		case err != nil:
			return err
		case d.IsDir() && slices.Contains([]string{".git", "bin", "build"}, path.Clean(name)):
			return fs.SkipDir
		case d.IsDir():
			return os.MkdirAll(filepath.Join(to, name), 0o755)
		}
		b, err := os.ReadFile(file)
		if err != nil {
			return err
		}
		return os.WriteFile(filepath.Join(to, name), b, 0o644)
	}))
}
