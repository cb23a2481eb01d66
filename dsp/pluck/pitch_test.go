package pluck

import (
	"math"
	"math/cmplx"
	"testing"

	"github.com/stretchr/testify/require"
)

// bin is the Hann-windowed Fourier sum of x at hz, scaled to the amplitude of
// a sinusoid there.
func bin(x []float32, hz, rate float64) complex128 {
	var sum complex128
	n := float64(len(x))
	for i, v := range x {
		w := 0.5 - 0.5*math.Cos(2*math.Pi*(float64(i)+0.5)/n)
		sum += complex(w*float64(v), 0) * cmplx.Rect(1, -2*math.Pi*hz*float64(i)/rate)
	}
	return sum * complex(4/n, 0)
}

// partial measures the frequency of the sinusoid in x near hz by the advance
// of its phase from one window to a later one.
func partial(x []float32, hz, rate float64) float64 {
	for range 3 {
		// A short hop first, unambiguous within +-1/(2 hop).
		n := len(x) * 2 / 3
		hop := len(x) - n
		a, b := bin(x[:n], hz, rate), bin(x[hop:], hz, rate)
		turn := cmplx.Phase(b/a) - 2*math.Pi*hz*float64(hop)/rate
		turn -= 2 * math.Pi * math.Round(turn/(2*math.Pi))
		hz += turn * rate / (2 * math.Pi * float64(hop))
	}
	return hz
}

func cents(got, want float64) float64 { return 1200 * math.Log2(got/want) }

func note(t *testing.T, g Guitar, rate, str, fret int, tuning, seconds float64) []float32 {
	t.Helper()
	x, err := Render(g, rate, 3, tuning, []Event{{Kind: Pluck, String: str, Fret: fret, Velocity: 0.7}}, seconds)
	require.NoError(t, err)
	return x
}

// Equal-tempered frequencies at A4 = 440 Hz (ISO 16). A cent is what the
// strings promise; it is a fifth of what a good player hears in a melody
// (common practice, no source).
func TestPitchOfEveryFret(t *testing.T) {
	step := 1
	if testing.Short() {
		step = 5
	}
	worst := 0.0
	for _, rate := range []int{44100, 48000} {
		for _, tuning := range []float64{0, -35} {
			for str := 1; str <= 6; str++ {
				for fret := 0; fret <= 19; fret += step {
					g := Classic()
					x := note(t, g, rate, str, fret, tuning, 0.75)
					want := 440 * math.Exp2((g.Strings[str-1].Open+float64(fret)-69)/12+tuning/1200)
					// After 0.3 s the body's own ringing is gone.
					got := partial(x[rate*3/10:], want, float64(rate))
					c := cents(got, want)
					worst = math.Max(worst, math.Abs(c))
					require.InDelta(t, 0, c, 1, "string %d fret %d at %d, tuned %g", str, fret, rate, tuning)
				}
			}
		}
	}
	t.Logf("largest error %.3f cents", worst)
}

// A stiff string's partials are stretched: f_n = n f_0 sqrt(1 + B n^2)
// (Fletcher & Rossing, The Physics of Musical Instruments). A nylon guitar's
// sixth string has about B = 2e-5, as recordings showed before this project
// began.
func TestInharmonicity(t *testing.T) {
	g := Classic()
	g.Detune, g.Position, g.Spread, g.Edge, g.Noise, g.Thump = 0, 0.13, 0, 8000, 0, 0
	g.Body = [Modes]Mode{}
	for i := range g.Body {
		g.Body[i] = Mode{Hz: 100, Decay: 0.01}
	}
	const rate = 44100
	for _, B := range []float64{0, 1e-5, 2e-5, 4e-5} {
		g.Strings[5].Inharmonicity, g.Strings[5].Ripple = B, 0
		x := note(t, g, rate, 6, 0, 0, 0.6)[rate/20:]
		f0 := 440 * math.Exp2((40.-69)/12) / math.Sqrt(1+B)
		for _, n := range []float64{2, 3, 5, 9, 12, 14} {
			want := n * f0 * math.Sqrt(1+B*n*n)
			got := partial(x, want, rate)
			t.Logf("B %g partial %g: stretched %.2f cents, formula %.2f", B, n, cents(got, n*f0), cents(want, n*f0))
			// The two allpasses follow the formula to first order; a tenth of the
			// stretch plus the measurement's own half cent.
			require.InDelta(t, cents(want, n*f0), cents(got, n*f0), 0.5+0.15*cents(want, n*f0))
		}
	}
}
