package words

import (
	"embed"
	"fmt"
	"io/fs"
	"path"
	"reflect"
	"strconv"
	"strings"
	"sync"
	"unicode"
	"unsafe"

	"github.com/BurntSushi/toml"
	"github.com/nicksnyder/go-i18n/v2/i18n"
	"golang.org/x/text/language"
)

// English is the language that sentences are written in, in the english files.
// Every other one is a file of its own, active.TAG.toml, whose messages are
// named as English's fields are: English.practice.tries is practice.tries.
//
//go:embed active.*.toml
var files embed.FS

// Tags are the languages there are, English first.
func Tags() []string {
	tags := []string{English.Tag}
	entries, _ := fs.ReadDir(files, ".") // it is in the program
	for _, e := range entries {
		tags = append(tags, strings.TrimSuffix(strings.TrimPrefix(e.Name(), "active."), ".toml"))
	}
	return tags
}

var (
	reading sync.Mutex
	have    = map[string]*Language{}
)

// In is the language with a tag, one of Tags; it is read when it is first asked
// for.
func In(tag string) (*Language, error) {
	if tag == English.Tag {
		return English, nil
	}
	reading.Lock()
	defer reading.Unlock()
	if l := have[tag]; l != nil {
		return l, nil
	}
	b, err := files.ReadFile("active." + path.Base(tag) + ".toml")
	if err != nil {
		return nil, fmt.Errorf("there is no language %q; there are %s", tag, strings.Join(Tags(), " and "))
	}
	l, _, err := read(tag, b)
	if err != nil {
		return nil, err
	}
	have[tag] = l
	return l, nil
}

// read makes a language of a file; what the file lacks stays English. The
// messages are those of the file by their names.
func read(tag string, file []byte) (*Language, map[string]*i18n.Message, error) {
	bundle := i18n.NewBundle(language.English)
	bundle.RegisterUnmarshalFunc("toml", toml.Unmarshal)
	parsed, err := bundle.ParseMessageFileBytes(file, "active."+tag+".toml")
	if err != nil {
		return nil, nil, fmt.Errorf("reading the language %q: %w", tag, err)
	}
	messages := make(map[string]*i18n.Message, len(parsed.Messages))
	for _, m := range parsed.Messages {
		messages[m.ID] = m
	}
	l := *English
	l.Tag, l.more = tag, make(map[string]string)
	localizer := i18n.NewLocalizer(bundle, tag)
	l.each(func(id string, message any) {
		m := messages[id]
		if m == nil {
			return
		}
		switch to := message.(type) {
		case *string:
			*to = m.Other
		case *counted:
			*to = counted{one: m.One, other: m.Other, read: localizer, id: id}
		}
	})
	for id, m := range messages {
		if table, _, _ := strings.Cut(id, "."); furtherTables[table] {
			l.more[id] = m.Other
		}
	}
	return &l, messages, nil
}

// furtherTables are those of a file whose messages English keeps elsewhere.
var furtherTables = map[string]bool{"help": true, "flags": true, "usage": true, "problems": true,
	"clauses": true}

// each calls f with every message of the language, a *string or a *counted,
// and its name.
func (l *Language) each(f func(id string, message any)) {
	l.cautions = append([]string(nil), l.cautions...) // the caller's own
	var walk func(id string, v reflect.Value)
	walk = func(id string, v reflect.Value) {
		// The fields are this package's own, and reflect does not know it.
		at := reflect.NewAt(v.Type(), unsafe.Pointer(v.UnsafeAddr()))
		switch m := at.Interface().(type) {
		case *string, *counted:
			if id != "tag" {
				f(id, m)
			}
			return
		}
		switch v.Kind() {
		case reflect.Struct:
			for i := range v.NumField() {
				walk(join(id, small(v.Type().Field(i).Name)), v.Field(i))
			}
		case reflect.Array, reflect.Slice:
			for i := range v.Len() {
				walk(join(id, strconv.Itoa(i)), v.Index(i))
			}
		}
	}
	walk("", reflect.ValueOf(l).Elem())
}

func join(id, name string) string {
	if id == "" {
		return name
	}
	return id + "." + name
}

// small is a name that begins with a small letter.
func small(name string) string {
	r := []rune(name)
	r[0] = unicode.ToLower(r[0])
	return string(r)
}
