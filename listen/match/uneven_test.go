package match

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/listen/grid"
	"bordon/theory"
)

// In seguiriyas the counts are 2, 2, 3, 3 and 2 eighths long: windows and
// tolerances follow the grid. At 400 eighths a minute an eighth is 150 ms.
func TestWindowsOfUnequalCounts(t *testing.T) {
	const rate, eighth = 48000, 7200
	form, err := theory.LookupForm("seguiriyas")
	require.NoError(t, err)
	key, err := theory.ParseKey("por-medio")
	require.NoError(t, err)
	line, err := theory.DefaultLine(key, form, theory.Standard)
	require.NoError(t, err)
	g, err := grid.New(rate, 400, 1, form.Lengths)
	require.NoError(t, err)
	m, err := New(Config{Rate: rate, Line: line, Grid: g, Tolerance: Performing, DelayKnown: true})
	require.NoError(t, err)

	at := []int64{0, 2, 4, 7} // eighths from count 1
	// A count is as long as the mean of the gaps before and after it, in eighths.
	long := []float64{2, 2, 2.5, 3}
	end := int64(0)
	for turn := range int64(3) {
		for i := range line.Items {
			w := m.window(turn, i)
			time := rate + (12*turn+at[i])*eighth
			assert.Equal(t, time, w.centre, "count %d", i+1)
			// 30 ms or 8 % of the count, the smaller.
			assert.InDelta(t, min(0.030*rate, 0.08*long[i]*eighth), w.onTime, 1)
			assert.GreaterOrEqual(t, w.lo, end, "windows do not overlap")
			most := min(0.45*long[i]*eighth, 0.350*rate)
			assert.LessOrEqual(t, float64(time-w.lo), most)
			assert.LessOrEqual(t, float64(w.hi-time), most)
			if i > 0 {
				assert.LessOrEqual(t, time-w.lo, (at[i]-at[i-1])*eighth/2, "half the gap before")
			}
			end = w.hi
		}
	}
	assert.Greater(t, m.window(0, 3).onTime, m.window(0, 0).onTime, "a long count gives more room")
}
