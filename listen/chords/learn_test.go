package chords

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// example is a beat and the family that was held on it.
type example struct {
	evidence
	family int
}

// examplesOf are a take's beats, those of the walk apart.
func examplesOf(tk take) (out [2][]example) {
	n := tk.cfg.Form.Beats
	names := map[string]int{}
	for d := 1; d <= 7; d++ {
		for _, seventh := range []bool{false, true} {
			c := tk.cfg.Key.Chord(d, seventh)
			names[c.String()] = tk.cfg.family(c)
		}
	}
	beats := len(tk.Segments[0].Beats)
	held := make([]string, beats)
	before := ""
	for _, c := range tk.Segments[0].Chords {
		if c.Turn == 1 { // the first turn begins as it ends
			before = c.Played
		}
		for b := (c.Turn-1)*n + c.On - 1; b < beats; b++ {
			held[b] = c.Played
		}
	}
	for b, e := range evidenceOf(&tk.cfg, tk.frames, 0, beats-1) {
		if held[b] == "" {
			held[b] = before
		}
		f, ok := names[held[b]]
		if !ok || f < 0 || e.struck == 0 {
			continue
		}
		walk := 0
		if tk.cfg.walks(b) {
			walk = 1
		}
		out[walk] = append(out[walk], example{e, f})
	}
	return out
}

// learn makes a scorer from examples, from nothing, by Adam (Kingma & Ba, ICLR
// 2015) on the log-loss of all examples with a little weight decay.
func learn(data []example, steps int) *scorer {
	var w, m, v scorer
	w[0][4], w[1][10], w[2][3] = 1, 1, 1 // what tells the kinds apart
	w[0][16], w[1][22], w[2][15] = 1, 1, 1
	for step := 1; step <= steps; step++ {
		var g scorer
		for i := range data {
			data[i].slope(&w, &g)
		}
		for k := range w {
			for a := range w[k] {
				d := g[k][a]/float64(len(data)) + 1e-4*w[k][a]
				m[k][a] = 0.9*m[k][a] + 0.1*d
				v[k][a] = 0.99*v[k][a] + 0.01*d*d
				w[k][a] -= 0.1 * m[k][a] / (1 - math.Pow(0.9, float64(step))) / (math.Sqrt(v[k][a]/(1-math.Pow(0.99, float64(step)))) + 1e-9)
			}
		}
	}
	return &w
}

// slope adds to g that of the example's loss.
func (x *example) slope(w, g *scorer) {
	gate := gateOf(x.struck)
	var p [kinds][12]float64
	top, all, own := math.Inf(-1), 0.0, 0.0
	for k := range p {
		for root := range p[k] {
			p[k][root] = gate * w.sum(k, root, &x.evidence)
			top = max(top, p[k][root])
		}
	}
	is := func(k, root int) bool { return familyOf[k]*12+root == x.family }
	for k := range p {
		for root := range p[k] {
			p[k][root] = math.Exp(p[k][root] - top)
			all += p[k][root]
			if is(k, root) {
				own += p[k][root]
			}
		}
	}
	for k := range p {
		for root := range p[k] {
			d := p[k][root] / all
			if is(k, root) {
				d -= p[k][root] / own
			}
			if d *= gate; math.Abs(d) < 1e-5 {
				continue
			}
			for above := range 12 {
				class := (root + above) % 12
				g[k][above] += d * x.shares[class]
				g[k][12+above] += d * x.shares[12+class]
			}
			g[k][24] += d
		}
	}
}

// known is the share of examples whose family is the likeliest.
func known(s *scorer, data []example) float64 {
	n := 0
	for i := range data {
		odds := s.odds(&data[i].evidence)
		best := 0
		for f := range odds {
			if odds[f] > odds[best] {
				best = f
			}
		}
		if best == data[i].family {
			n++
		}
	}
	return float64(n) / float64(len(data))
}

func examples(t testing.TB, from, to uint64) (all [2][]example) {
	for seed := from; seed < to; seed++ {
		if tk, ok := render(t, seed); ok {
			for walk, x := range examplesOf(tk) {
				all[walk] = append(all[walk], x...)
			}
		}
	}
	return all
}

// The built-in weights come from here: BORDON_LEARN=1 go test -run Learn writes
// weights.go from the seeds 1000 to 1399. Without that a few takes must teach
// most of it.
func TestLearn(t *testing.T) {
	from, to, steps := uint64(1000), uint64(1012), 60
	write := os.Getenv("BORDON_LEARN") != ""
	if write {
		to, steps = 1400, 300
	}
	taught, unheard := examples(t, from, to), examples(t, 2000, 2000+(to-from)/4)
	var b strings.Builder
	fmt.Fprintf(&b, "package chords\n\n// Learned from rendered takes by TestLearn, whose file says how; the share of\n// beats whose chord is the likeliest of the %d families, among takes learned from and others:\n", families)
	var text strings.Builder
	for walk, name := range []string{"strummed", "walked"} {
		s := learn(taught[walk], steps)
		a, u := known(s, taught[walk]), known(s, unheard[walk])
		t.Logf("%s: %d and %d beats, %.3f and %.3f known", name, len(taught[walk]), len(unheard[walk]), a, u)
		assert.Greater(t, u, 0.5, "chance is one in %d", families)
		fmt.Fprintf(&b, "// %s %.1f and %.1f %% of %d and %d.\n", name, 100*a, 100*u, len(taught[walk]), len(unheard[walk]))
		fmt.Fprintf(&text, "var %s = scorer{\n", name)
		for k := range s {
			fmt.Fprint(&text, "\t{")
			for i, v := range s[k] {
				if i == 12 || i == 24 {
					fmt.Fprint(&text, "\n\t\t")
				}
				fmt.Fprintf(&text, "%.2f, ", v)
			}
			fmt.Fprint(&text, "\n},\n")
		}
		fmt.Fprint(&text, "}\n\n")
	}
	if write {
		require.NoError(t, os.WriteFile("weights.go", []byte(b.String()+text.String()), 0o666))
	}
}
