package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"strings"

	"bordon/ui/words"
)

// completions are where shells look for them below share.
var completions = map[string]string{
	"bash": "bash-completion/completions/bordon",
	"zsh":  "zsh/site-functions/_bordon",
	"fish": "fish/vendor_completions.d/bordon.fish",
}

// shared are the files that belong beside the program, by their paths below
// share: what it writes itself, and the licences of all that is in it as it is
// built for systems.
func (r *release) shared(ctx context.Context, program string, of []system) (files, error) {
	all := files{}
	said := func(args ...string) ([]byte, error) {
		cmd := exec.CommandContext(ctx, program, args...)
		cmd.Env = append(os.Environ(), fmt.Sprintf("SOURCE_DATE_EPOCH=%d", r.when.Unix()), "LC_ALL=C.UTF-8")
		return output(cmd)
	}
	var err error
	for _, tag := range words.Tags() {
		name := "man/man1/bordon.1"
		if tag != words.English.Tag {
			name = path.Join("man", tag, "man1/bordon.1")
		}
		if all[name], err = said("man", "--language", tag); err != nil {
			return nil, err
		}
	}
	for shell, name := range completions {
		if all[name], err = said("completion", shell, "--language", words.English.Tag); err != nil {
			return nil, err
		}
	}
	for _, name := range []string{"LICENSE", "ui/sheet/OFL.txt"} {
		if all["doc/bordon/"+path.Base(name)], err = os.ReadFile(filepath.Join(r.root, name)); err != nil {
			return nil, err
		}
	}
	notices, err := r.notices(ctx, of)
	if err != nil {
		return nil, err
	}
	all["doc/bordon/NOTICES"] = []byte(notices)
	return all, nil
}

var link = regexp.MustCompile(`\]\(([^)#:]+)\)`)

// linked are the README and the files that it points to, so that it can be
// read where an archive is unpacked.
func (r *release) linked() (files, error) {
	readme, err := os.ReadFile(filepath.Join(r.root, "README.md"))
	if err != nil {
		return nil, err
	}
	all := files{"README.md": readme}
	for _, m := range link.FindAllStringSubmatch(string(readme), -1) {
		name := path.Clean(m[1])
		if !filepath.IsLocal(name) || strings.HasPrefix(name, ".") {
			return nil, fmt.Errorf("the README points to %q, which is not in the source", name)
		}
		if all[name], err = os.ReadFile(filepath.Join(r.root, name)); err != nil {
			return nil, err
		}
	}
	return all, nil
}
