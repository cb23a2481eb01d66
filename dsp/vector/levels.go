package vector

// Within writes to dst each number of src less ref, but at least low and at
// most high, and then moved by by and divided by unit. dst may be src.
func Within(dst, src []float32, ref, low, high, by, unit float32) {
	dst = dst[:len(src)]
	i := 0
	if fast && len(src) >= lanes {
		i = len(src) &^ (lanes - 1)
		within(&dst[0], &src[0], i, ref, low, high, by, unit)
	}
	for ; i < len(src); i++ {
		dst[i] = (min(max(src[i]-ref, low), high) + by) / unit
	}
}
