package vector

// Comb writes to y, some number plus what lies at offsets in x from there, each
// times its share: y[i] becomes start and the sum of shares[k]
// x[from+i+offsets[k]]. All that it reads must lie in x.
func Comb(y, x []float64, from int, offsets []int, shares []float64, start float64) {
	n := len(y)
	shares = shares[:len(offsets)]
	for _, o := range offsets {
		_ = x[from+o:][:n]
	}
	i := 0
	if fast && n >= 4 && len(offsets) > 0 {
		i = n &^ 3
		comb(&y[0], &x[from], &offsets[0], &shares[0], len(offsets), start, i)
	}
	for ; i < n; i++ {
		sum := start
		for k, o := range offsets {
			sum += shares[k] * x[from+i+o]
		}
		y[i] = sum
	}
}
