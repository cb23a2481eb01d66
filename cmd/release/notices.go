package main

import (
	"context"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// module is a library that is in the program.
type module struct {
	name, version, dir string
	licences           map[string]string // texts by their files, relative to dir
}

// licenceName is how files are called that say on what terms something may be
// passed on.
var licenceName = regexp.MustCompile(`(?i)^(un)?(licen[cs]e|copying|notice|patents)([.-].*)?$`)

// modules are the libraries in the program as it is built for systems, by their
// names.
func (r *release) modules(ctx context.Context, of []system) ([]module, error) {
	found := map[string]module{}
	for _, s := range of {
		cmd := exec.CommandContext(ctx, "go", "list", "-deps", "-tags", s.tags(),
			"-f", "{{with .Module}}{{if not .Main}}{{.Path}}\t{{.Version}}\t{{.Dir}}\t{{$.Dir}}{{end}}{{end}}", "./cmd/bordon")
		cmd.Dir, cmd.Env = r.root, s.env()
		listed, err := output(cmd)
		if err != nil {
			return nil, err
		}
		for line := range strings.Lines(string(listed)) {
			part := strings.Split(strings.TrimSpace(line), "\t")
			if len(part) != 4 {
				continue
			}
			m, ok := found[part[0]]
			if !ok {
				m = module{part[0], part[1], part[2], map[string]string{}}
				found[m.name] = m
			}
			if err := m.collect(part[3]); err != nil {
				return nil, err
			}
		}
	}
	all := make([]module, 0, len(found))
	for _, name := range slices.Sorted(maps.Keys(found)) {
		found[name].orReadme()
		if len(found[name].licences) == 0 {
			return nil, fmt.Errorf("%s %s says nowhere on what terms it may be passed on", name, found[name].version)
		}
		all = append(all, found[name])
	}
	return all, nil
}

// collect reads what licences lie in a package's folder and in those above it,
// up to the module's own.
func (m module) collect(dir string) error {
	for {
		entries, err := os.ReadDir(dir)
		if err != nil {
			return err
		}
		for _, e := range entries {
			if !e.Type().IsRegular() || !licenceName.MatchString(e.Name()) || strings.HasSuffix(e.Name(), ".go") {
				continue
			}
			b, err := os.ReadFile(filepath.Join(dir, e.Name()))
			if err != nil {
				return err
			}
			name, err := filepath.Rel(m.dir, filepath.Join(dir, e.Name()))
			if err != nil {
				return err
			}
			m.licences[filepath.ToSlash(name)] = string(b)
		}
		above := filepath.Dir(dir)
		if dir == m.dir || above == dir {
			return nil
		}
		dir = above
	}
}

// itsLicence is the heading of a README under which the terms stand.
var itsLicence = regexp.MustCompile(`(?im)^#+ *licen[cs]e\b`)

// orReadme takes the README for the licence where there is no other and it says
// what the licence is.
func (m module) orReadme() {
	if len(m.licences) > 0 {
		return
	}
	if b, err := os.ReadFile(filepath.Join(m.dir, "README.md")); err == nil && itsLicence.Match(b) {
		m.licences["README.md"] = string(b)
	}
}

// theGoAuthors is a module whose licence is word for word that of Go itself,
// for an installation of Go that comes without.
const theGoAuthors = "golang.org/x/text"

// notices are the licences of all that is in the program as it is built for
// systems, Go's own first.
func (r *release) notices(ctx context.Context, of []system) (string, error) {
	all, err := r.modules(ctx, of)
	if err != nil {
		return "", err
	}
	cmd := exec.CommandContext(ctx, "go", "env", "GOROOT")
	cmd.Dir = r.root
	goroot, err := output(cmd)
	if err != nil {
		return "", err
	}
	own := ""
	if b, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(goroot)), "LICENSE")); err == nil {
		own = string(b)
	} else if i := slices.IndexFunc(all, func(m module) bool { return m.name == theGoAuthors }); i >= 0 {
		own = all[i].licences["LICENSE"]
	}
	if own == "" {
		return "", fmt.Errorf("the licence of Go is not where Go is installed: %s", strings.TrimSpace(string(goroot)))
	}
	var b strings.Builder
	b.WriteString("Bordon is under the MIT licence, in the file LICENSE, and its music signs under the\n" +
		"SIL Open Font License 1.1, in OFL.txt. What others wrote and is in the program:\n")
	told := func(name, text string) {
		fmt.Fprintf(&b, "\n%s\n%s\n\n%s\n", name, strings.Repeat("-", len(name)), strings.TrimSpace(strings.ReplaceAll(text, "\r\n", "\n")))
	}
	told("Go's standard library", own)
	for _, m := range all {
		for i, file := range slices.Sorted(maps.Keys(m.licences)) {
			name := m.name + " " + m.version
			if i > 0 || len(m.licences) > 1 {
				name += ", " + file
			}
			told(name, m.licences[file])
		}
	}
	return b.String(), nil
}
