package take

import "math"

// z95 is the 0.975 quantile of the standard normal distribution.
const z95 = 1.959963984540054

// Wilson is the 95 % score interval of a share of which right of n were seen:
// E. B. Wilson, "Probable inference, the law of succession, and statistical
// inference", Journal of the American Statistical Association 22 (1927),
// 209-212. Of nothing seen nothing is known: 0 to 1.
func Wilson(right, n int) (low, high float64) {
	if n <= 0 {
		return 0, 1
	}
	return wilson(float64(right)/float64(n), float64(n))
}

func wilson(p, n float64) (low, high float64) {
	z2 := z95 * z95
	centre := (p + z2/(2*n)) / (1 + z2/n)
	half := z95 / (1 + z2/n) * math.Sqrt(p*(1-p)/n+z2/(4*n*n))
	return math.Max(0, centre-half), math.Min(1, centre+half)
}

// Secure is the share of right notes from which on a beat is held to be safe
// (common practice, no source: nine of ten).
const Secure = 0.9

// mostNeeded bounds what a player is told to play.
const mostNeeded = 1000

// Needed is how many more notes it takes until the interval lies wholly on one
// side of Secure, if the share stays what it is; -1 where that would be more
// than a thousand: the share is about Secure itself.
func Needed(right, n int) int {
	p := 0.5
	if n > 0 {
		p = float64(right) / float64(n)
	}
	for more := 0; more <= mostNeeded; more++ {
		if low, high := wilson(p, float64(max(n+more, 1))); n+more > 0 && (low >= Secure || high < Secure) {
			return more
		}
	}
	return -1
}
