package ui

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/ui/words"
)

// The screens in Spanish, at 80 by 24: the page, large letters, the list of
// keys, what stands while the page does, a verdict that is overruled, and the
// cautions. Nothing is cut off at the edge.
func TestSpanishScreens(t *testing.T) {
	spanish, err := words.In("es")
	require.NoError(t, err)
	stands := func(f *Feed) {
		f.Keep(&shelved{})
		f.Stand([]string{"3 de 4 notas bien (75 %)."})
	}
	for _, tt := range []struct {
		name  string
		large bool
		more  func(*Feed)
		keys  []tea.Msg
		says  []string
	}{
		{"es-80x24", false, nil, nil, []string{"Sol mayor", "pedía La2", "q fin", "? teclas", "a repite", "e cambia"}},
		{"es-80x24-large", true, nil, nil, []string{"tiempo   sigue 9"}},
		{"es-80x24-keys", false, stands, []tea.Msg{press("?")}, []string{"espacio, intro", "corregir al oído", "terminar; la grabación se guarda"}},
		{"es-80x24-stands", false, stands, nil, []string{"espacio sigue", "a repite", "p oye", "d tira", "e cambia", "v corrige", "q fin", "? teclas"}},
		{"es-80x24-overrule", false, stands, []tea.Msg{press("v")}, []string{"b bien", "f fuera de tono", "e lo que dijo el oído", "esc hecho", "? teclas"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			l := practising(t)
			l.Words, l.Large = spanish, tt.large
			view := shown(t, l, mono(), 80, 24, tt.more, tt.keys...).View()
			golden(t, tt.name, view+"\n")
			for _, s := range tt.says {
				assert.Contains(t, view, s)
			}
			for _, line := range strings.Split(view, "\n") {
				assert.LessOrEqual(t, len([]rune(line)), 80)
			}
		})
	}
	n := notice{words: spanish, paragraphs: spanish.Cautions(), width: 80, height: 24}
	golden(t, "es-80x24-notice", n.View()+"\n")
	said := strings.Join(strings.Fields(n.View()), " ")
	for _, c := range spanish.Cautions() {
		assert.Contains(t, said, c)
	}
	assert.Contains(t, said, "intro sigue q fin")
}
