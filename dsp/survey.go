package dsp

// Survey runs the ear's front over a whole recording and calls visit with the
// evidence at each hop where energy rose and which wanted wants, for the glance
// and the two looks. t0 is the moment in seconds. It is what training sees.
func Survey(x []float32, cfg EarConfig, wanted func(t0 float64) bool, visit func(t0 float64, early, short, long *Evidence)) error {
	cfg.Net = NewWeights()
	e, err := NewEar(cfg)
	if err != nil {
		return err
	}
	var ev [spans]Evidence
	x = append(x[:len(x):len(x)], make([]float32, cfg.Rate/4)...)
	for len(x) > 0 {
		n := min(len(x), 4096)
		e.look.room(2 * 4096)
		e.look.buf = e.down.write(e.look.buf, x[:n])
		x = x[n:]
		for e.look.end() >= e.hops*hop+hop {
			e.look.follow(e.hops)
			k := e.hops - farLook
			e.hops++
			if t0 := float64(k*hop) / earRate; k >= 0 && e.look.rises(k) && wanted(t0) {
				for s := range spans {
					e.look.at(&ev[s], k, s)
				}
				visit(t0, &ev[glance], &ev[first], &ev[second])
			}
		}
	}
	return nil
}
