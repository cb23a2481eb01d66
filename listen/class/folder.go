package class

import (
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
)

// suffixes are those of recordings, phone video included. What a file is, its
// first bytes tell; this only keeps letters and pictures out of the class.
var suffixes = []string{".wav", ".wave", ".flac", ".mp3", ".m4a", ".aac", ".ogg", ".oga", ".opus", ".mp4", ".m4v", ".mov",
	".3gp", ".3g2", ".webm", ".mkv", ".mka", ".avi", ".amr", ".wma", ".aif", ".aiff", ".caf"}

// Folder is a class: recordings, and what is said of them.
type Folder struct {
	Dir   string
	All   []Given  // by file
	Alone []string // files that are no recordings by their names, left alone
}

// Open lists the recordings of a folder. manifest "" is the one in the folder,
// if it is there. Recordings that the manifest does not name are known by
// their own names. only, if it names any files of the folder, is all that is
// taken.
func Open(dir, manifest string, only ...string) (*Folder, error) {
	said, err := readManifest(dir, manifest)
	if err != nil {
		return nil, err
	}
	known := map[string]*Given{}
	for i := range said {
		known[said[i].Of(File)] = &said[i]
	}
	f := &Folder{Dir: dir}
	if len(only) > 0 {
		for _, file := range only {
			g, ok := known[file]
			if !ok {
				named := FromName(file)
				g = &named
			}
			f.add(*g)
		}
		return f, nil
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, fmt.Errorf("cannot list the folder %q: %w", dir, err)
	}
	for _, g := range said {
		f.add(g)
	}
	for _, e := range entries {
		name := e.Name()
		switch {
		case known[name] != nil, strings.HasPrefix(name, "."), e.IsDir(), name == ManifestName, filepath.Join(dir, name) == filepath.Clean(manifest):
		case slices.Contains(suffixes, strings.ToLower(path.Ext(name))):
			f.add(FromName(name))
		default:
			f.Alone = append(f.Alone, name)
		}
	}
	slices.SortFunc(f.All, func(a, b Given) int { return strings.Compare(a.Of(File), b.Of(File)) })
	return f, nil
}

// add takes a recording in that lies in the folder, links followed.
func (f *Folder) add(g Given) {
	if g.Err == nil {
		g.Err = within(f.Dir, g.Of(File))
	}
	f.All = append(f.All, g)
}

// within says why a file is not one of the folder's own.
func within(dir, file string) error {
	if err := inside(file); err != nil {
		return err
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return err
	}
	defer root.Close()
	if _, err := root.Lstat(filepath.FromSlash(file)); err != nil {
		return fmt.Errorf("there is no such file in the folder")
	}
	if _, err := root.Stat(filepath.FromSlash(file)); err != nil {
		return fmt.Errorf("it is a link that leads out of the folder, or nowhere; put the recording itself there")
	}
	return nil
}

// Path is where the file of a recording lies.
func (f *Folder) Path(g *Given) string { return filepath.Join(f.Dir, filepath.FromSlash(g.Of(File))) }

func readManifest(dir, manifest string) ([]Given, error) {
	asked := manifest != ""
	if !asked {
		manifest = filepath.Join(dir, ManifestName)
	}
	st, err := os.Stat(manifest) // before opening: a pipe would wait for a writer
	switch {
	case err != nil && !asked && os.IsNotExist(err):
		return nil, nil
	case err != nil:
		return nil, fmt.Errorf("cannot read the manifest %q: there is no such file, or it cannot be opened", manifest)
	case !st.Mode().IsRegular():
		return nil, fmt.Errorf("cannot read the manifest %q: it is not a plain file", manifest)
	}
	file, err := os.Open(manifest)
	if err != nil {
		return nil, fmt.Errorf("cannot read the manifest: %w", err)
	}
	defer file.Close()
	said, err := ReadManifest(io.Reader(file))
	if err != nil {
		return nil, fmt.Errorf("cannot read the manifest %q: %w", manifest, err)
	}
	return said, nil
}
