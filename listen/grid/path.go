package grid

// found is a beat of the likeliest path.
type found struct {
	frame  int
	beat   int // of the pass, from 0
	manner manner
	period int  // index in the lattice's
	begins bool // what was before it was not of the form
	paused bool // a pause was before it
}

// path is the likeliest way through the lattice, which must be fresh, and its
// score. The way there is kept in blocks: of all but one only the state at its
// beginning is, and it is walked again when the way back comes to it.
func (l *lattice) path() ([]found, float64) { return l.stretch(0) }

// stretch is the same from a frame on, at which the lattice stands.
func (l *lattice) stretch(start int) ([]found, float64) {
	states := l.states()
	block := min(max(blockSize/(4*states), 200), max(l.frames-start, 1))
	var kept []state
	idle := make([]int32, l.frames)
	w := l.newPass()
	var b trail
	at := -1 // block that b holds
	if l.frames-start <= block {
		at = 0
		b.lay(start, l.frames-start, states)
	}
	for t := start; t < l.frames; t++ {
		if (t-start)%block == 0 {
			if t > start {
				l.lower()
			}
			kept = append(kept, l.s.copy())
		}
		if at == 0 {
			idle[t] = l.advance(w, &b)
		} else {
			idle[t] = l.advance(w, nil)
		}
	}
	score := l.s.base + float64(l.s.idle)

	var back []found
	load := func(t int) {
		for (t-start)/block != at {
			at = (t - start) / block
			l.s = kept[at].copy()
			n := min(block, l.frames-start-at*block)
			b.lay(start+at*block, n, states)
			for range n {
				l.advance(w, &b)
			}
		}
	}
	for t := l.frames - 1; t >= start; t-- {
		if idle[t] < 0 {
			continue
		}
		id := int(idle[t])
		for {
			load(t)
			m, k, j := manner(id/(l.beats*l.tempos)), id/l.tempos%l.beats, id%l.tempos
			kind := b.arrive[(t-b.from)*states+id]
			back = append(back, found{frame: t, beat: k, manner: m, period: j, begins: kind == 1, paused: kind > 1})
			if kind == 1 {
				break
			}
			before := mod(k-1, l.beats)
			if kind == 0 {
				t -= l.dur[before*l.tempos+j]
			} else {
				t -= int(kind) - 2
			}
			load(t)
			from := b.leave[(t-b.from)*states+l.id(m, before, j)]
			id = l.id(manner(from>>mannerBits), before, int(from&(1<<mannerBits-1)))
		}
	}
	for i, j := 0, len(back)-1; i < j; i, j = i+1, j-1 {
		back[i], back[j] = back[j], back[i]
	}
	return back, score
}
