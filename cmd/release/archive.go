package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"time"
)

// files are contents by their paths, with slashes.
type files map[string][]byte

// mode is that of a file in an archive and where it is installed.
func mode(name string) fs.FileMode {
	if path.Base(path.Dir(name)) == "bin" {
		return 0o755
	}
	return 0o644
}

// write puts files into a folder.
func write(folder string, all files) error {
	for name, content := range all {
		file := filepath.Join(folder, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(file, content, mode(name)); err != nil {
			return err
		}
	}
	return nil
}

// archives builds for systems and writes their archives and SHA256SUMS into a
// folder, which is emptied of earlier ones.
func (r *release) archives(ctx context.Context, out string, chosen []system) error {
	work, err := os.MkdirTemp("", "bordon-release-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(work)
	// What the archives share is told by a program that runs here.
	here := filepath.Join(work, "here")
	if err := r.build(ctx, system{os: runtime.GOOS, arch: runtime.GOARCH}, here); err != nil {
		return err
	}
	beside, err := r.linked()
	if err != nil {
		return err
	}
	packed := files{}
	for _, s := range chosen {
		file := filepath.Join(work, "bordon")
		if err := r.build(ctx, s, file); err != nil {
			return err
		}
		name := fmt.Sprintf("bordon-%s-%s-%s", r.version, s.os, s.arch)
		share, err := r.shared(ctx, here, []system{s})
		if err != nil {
			return err
		}
		inside := files{}
		program := "bin/bordon"
		if s.os == "windows" {
			program += ".exe"
		}
		if inside[program], err = os.ReadFile(file); err != nil {
			return err
		}
		for n, content := range share {
			inside[path.Join("share", n)] = content
		}
		maps.Copy(inside, beside)
		var b bytes.Buffer
		pack, ending := packTar, ".tar.gz"
		if s.os == "windows" {
			pack, ending = packZip, ".zip"
		}
		if err := pack(&b, name, inside, r.when); err != nil {
			return err
		}
		packed[name+ending] = b.Bytes()
	}
	packed["SHA256SUMS"] = sums(packed)
	if err := os.RemoveAll(out); err != nil {
		return err
	}
	return write(out, packed)
}

// sums are the checksums of files as sha256sum -c reads them.
func sums(all files) []byte {
	var b strings.Builder
	for _, name := range slices.Sorted(maps.Keys(all)) {
		fmt.Fprintf(&b, "%x  %s\n", sha256.Sum256(all[name]), name)
	}
	return []byte(b.String())
}

// packTar writes files below a folder as a compressed tar, in the order of
// their names, all of one time and of nobody.
func packTar(w io.Writer, folder string, all files, when time.Time) error {
	z := gzip.NewWriter(w)
	t := tar.NewWriter(z)
	for _, name := range slices.Sorted(maps.Keys(all)) {
		h := &tar.Header{Typeflag: tar.TypeReg, Name: path.Join(folder, name), Size: int64(len(all[name])), Mode: int64(mode(name)), ModTime: when, Format: tar.FormatUSTAR}
		if err := t.WriteHeader(h); err != nil {
			return err
		}
		if _, err := t.Write(all[name]); err != nil {
			return err
		}
	}
	if err := t.Close(); err != nil {
		return err
	}
	return z.Close()
}

// packZip does as packTar, as a zip. Its times begin with 1980.
func packZip(w io.Writer, folder string, all files, when time.Time) error {
	if first := time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC); when.Before(first) {
		when = first
	}
	z := zip.NewWriter(w)
	for _, name := range slices.Sorted(maps.Keys(all)) {
		h := &zip.FileHeader{Name: path.Join(folder, name), Method: zip.Deflate, Modified: when}
		h.SetMode(mode(name))
		f, err := z.CreateHeader(h)
		if err != nil {
			return err
		}
		if _, err := f.Write(all[name]); err != nil {
			return err
		}
	}
	return z.Close()
}
