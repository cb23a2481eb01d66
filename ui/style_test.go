package ui

import (
	"fmt"
	"math"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type rgb [3]float64 // linear light, 0 to 1

// linear reads #rrggbb as WCAG 2.2 does for relative luminance.
func linear(t *testing.T, hex string) rgb {
	t.Helper()
	var b [3]int
	_, err := fmt.Sscanf(hex, "#%02x%02x%02x", &b[0], &b[1], &b[2])
	require.NoError(t, err)
	var c rgb
	for i, v := range b {
		s := float64(v) / 255
		if s <= 0.04045 {
			c[i] = s / 12.92
		} else {
			c[i] = math.Pow((s+0.055)/1.055, 2.4)
		}
	}
	return c
}

func (c rgb) luminance() float64 { return 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2] }

// contrast of two colours: WCAG 2.2, "contrast ratio".
func contrast(a, b rgb) float64 {
	x, y := a.luminance(), b.luminance()
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// blindness is how those see who lack one kind of cone: Machado, Oliveira &
// Fernandes, IEEE TVCG 15 (2009), severity 1, on linear light; from memory.
var blindness = map[string][3][3]float64{
	"protanopia":   {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
	"deuteranopia": {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
	"tritanopia":   {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}},
}

func seen(c rgb, m [3][3]float64) (out rgb) {
	for i := range m {
		for j := range m {
			out[i] += m[i][j] * c[j]
		}
		out[i] = min(max(out[i], 0), 1)
	}
	return out
}

// lab is CIE 1976 L*a*b* under D65.
func lab(c rgb) [3]float64 {
	x := (0.4124*c[0] + 0.3576*c[1] + 0.1805*c[2]) / 0.9505
	y := 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2]
	z := (0.0193*c[0] + 0.1192*c[1] + 0.9505*c[2]) / 1.089
	f := func(v float64) float64 {
		if v > 0.008856 {
			return math.Cbrt(v)
		}
		return 7.787*v + 16.0/116
	}
	return [3]float64{116*f(y) - 16, 500 * (f(x) - f(y)), 200 * (f(y) - f(z))}
}

func apart(a, b rgb) float64 {
	p, q := lab(a), lab(b)
	return math.Sqrt((p[0]-q[0])*(p[0]-q[0]) + (p[1]-q[1])*(p[1]-q[1]) + (p[2]-q[2])*(p[2]-q[2]))
}

// WCAG 2.2, success criterion 1.4.3 (AA): 4.5 to 1 for text, on the black and
// white of terminals and on their usual near blacks and whites; for colour-blind
// readers too.
func TestContrast(t *testing.T) {
	for _, side := range []struct {
		name        string
		of          func(lipgloss.AdaptiveColor) string
		backgrounds []string
	}{
		{"dark", func(c lipgloss.AdaptiveColor) string { return c.Dark }, []string{"#000000", "#1e1e1e", "#002b36", "#282c34"}},
		{"light", func(c lipgloss.AdaptiveColor) string { return c.Light }, []string{"#ffffff", "#f5f5f5", "#fdf6e3"}},
	} {
		for name, colour := range map[string]lipgloss.AdaptiveColor{"soft": soft, "warm": warm, "cool": cool} {
			c := linear(t, side.of(colour))
			for _, back := range side.backgrounds {
				b := linear(t, back)
				assert.GreaterOrEqual(t, contrast(c, b), 4.5, "%s on %s", name, back)
				for kind, m := range blindness {
					assert.GreaterOrEqual(t, contrast(seen(c, m), seen(b, m)), 4.5, "%s on %s, %s", name, back, kind)
				}
			}
		}
		// What is wrong and what is in doubt: 20 is ten times what can just be
		// told apart side by side.
		w, c := linear(t, side.of(warm)), linear(t, side.of(cool))
		for kind, m := range blindness {
			assert.Greater(t, apart(seen(w, m), seen(c, m)), 20.0, "%s, %s", side.name, kind)
		}
	}
}

// The contrast of black and white is 21 by the standard, that of #767676 on
// white the well-known 4.54.
func TestContrastItself(t *testing.T) {
	assert.InDelta(t, 21, contrast(linear(t, "#000000"), linear(t, "#ffffff")), 1e-9)
	assert.InDelta(t, 4.54, contrast(linear(t, "#767676"), linear(t, "#ffffff")), 0.005)
}
