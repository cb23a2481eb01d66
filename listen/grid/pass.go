package grid

import "math"

// pass is the work of one frame, kept so that it is allocated once.
type pass struct {
	arrive []float32 // by state
	leave  []float32
	from   []uint16
	prior  []float32 // by period

	now, then []int       // by duration: where in its ring this frame is, and the one so long ago
	silent    []float32   // by duration: what the time since then speaks for a beat
	sounds    [][]float32 // likewise for each chord of the plan

	ring       []int     // by period, of one beat: where in the ring of manner 0 it was left
	sum, chord []float32 // likewise: what the time since then speaks for it, and its sound
	best       []float32 // likewise: of all manners
	who        []manner  // whose that is
}

func (l *lattice) newPass() *pass {
	w := &pass{
		arrive: make([]float32, l.states()), leave: make([]float32, l.states()), from: make([]uint16, l.states()),
		prior: make([]float32, l.tempos), now: make([]int, len(l.lasts)), then: make([]int, len(l.lasts)),
		silent: make([]float32, len(l.lasts)), ring: make([]int, l.tempos),
		sum: make([]float32, l.tempos), chord: make([]float32, l.tempos),
		best: make([]float32, l.tempos), who: make([]manner, l.tempos),
	}
	for range l.plan.chords {
		w.sounds = append(w.sounds, make([]float32, len(l.lasts)))
	}
	sum := 0.0
	for j, p := range l.periods {
		z := math.Log(p * l.plan.tempo / (60 * frameRate))
		if l.cost.away > 0 {
			z /= l.cost.away
		} else {
			z = 0
		}
		w.prior[j] = float32(-z * z / 2)
		sum += math.Exp(-z * z / 2)
	}
	for j := range w.prior {
		w.prior[j] -= float32(math.Log(sum))
	}
	return w
}

// advance takes in the next frame. It returns the state from which idleness
// was best reached, -1 for idleness itself; b, where there is one, is told
// where each state came from.
func (l *lattice) advance(w *pass, b *trail) (idleFrom int32) {
	t := l.s.next
	l.s.next++
	l.scores.at(t)
	for i, d := range l.lasts {
		w.now[i], w.then[i] = t%(d+1), (t+1)%(d+1)
		w.silent[i] = float32(l.scores.silent(t-d, t))
		for c := range w.sounds {
			w.sounds[c][i] = float32(l.scores.sounds(c, t-d, t))
		}
	}
	least := max(l.s.best, l.s.idle) - beam
	for k := range l.beats {
		l.arrivals(w, b, t, k, least)
	}
	return l.departures(w, b, t)
}

// arrivals at beat k.
func (l *lattice) arrivals(w *pass, b *trail, t, k int, least float32) {
	before := mod(k-1, l.beats)
	begin := l.s.idle + float32(l.cost.begin)
	rest, wait := float32(l.cost.halt), float32(l.cost.wait)
	if k%l.plan.turn == 0 {
		begin += float32(l.cost.beginAt)
		rest = float32(l.cost.breath)
	}
	if l.only != nil && !l.only(t, k) {
		begin = none
	}
	row := before * l.tempos
	durs := l.dur[row : row+l.tempos]
	sounds := w.sounds[l.plan.beats[before].chord]
	for j, i := range l.lasting[row : row+l.tempos] {
		w.ring[j] = l.ringAt[row+j] + w.then[i]
		w.sum[j], w.chord[j] = w.silent[i], sounds[i]
	}
	for i := range l.scores.after {
		if a := &l.scores.after[i]; a.beat == before {
			for j, d := range durs {
				w.sum[j] += a.at(t-d, t)
			}
		}
	}
	for m := range manners {
		ring := l.s.ring[int(m)*l.ringAll : int(m+1)*l.ringAll]
		at := l.id(m, k, 0)
		arrive, held, since := w.arrive[at:at+l.tempos], l.s.pause[at:at+l.tempos], l.s.since[at:at+l.tempos]
		var kinds []uint16
		if b != nil {
			kinds = b.arrive[(t-b.from)*l.states()+at:][:l.tempos]
		}
		score := float32(l.scores.beat[m][k])
		for j, r := range w.ring {
			come, kind := none, uint16(0)
			if v := ring[r]; v > least {
				if come = v + w.sum[j]; m != bare {
					come += w.chord[j]
				}
			}
			best, stay := come, held[j]
			if stay > none {
				// A pause begins where the beat would have come.
				stay += wait
				n := t - int(since[j])
				if n > maxPause || stay < least {
					stay = none
				} else if stay > best {
					best, kind = stay, uint16(2+n)
				}
			}
			if v := begin + w.prior[j]; v > best {
				best, kind = v, 1
			}
			if come+rest > stay {
				stay, since[j] = come+rest, int32(t-durs[j])
			}
			held[j] = stay
			if best += score; best < least {
				best = none
			}
			arrive[j] = best
			if kinds != nil {
				kinds[j] = kind
			}
		}
	}
}

// departures from the beats of a frame: to any tempo, in any manner, or to
// idleness.
func (l *lattice) departures(w *pass, b *trail, t int) (idleFrom int32) {
	idleFrom = -1
	top := none
	for m := range manners {
		for k := range l.beats {
			cease := float32(l.cost.cease)
			if (k+1)%l.plan.turn == 0 {
				cease += float32(l.cost.ceaseAt)
			}
			i := l.id(m, k, 0)
			a, d, from := w.arrive[i:i+l.tempos], w.leave[i:i+l.tempos], w.from[i:i+l.tempos]
			last, who := none, uint16(m)<<mannerBits
			for j, v := range a {
				from[j] = uint16(j) | uint16(m)<<mannerBits
				if v > top {
					top = v
				}
				if v+cease > l.s.idle {
					l.s.idle, idleFrom = v+cease, int32(i+j)
				}
				if last > v {
					v, from[j] = last, who
				}
				d[j] = v
				if j < len(l.step) {
					last, who = v-l.step[j], from[j]
				}
			}
			for j := len(d) - 2; j >= 0; j-- {
				if v := d[j+1] - l.step[j]; v > d[j] {
					d[j], from[j] = v, from[j+1]
				}
			}
		}
	}
	l.s.best = top
	least := max(top, l.s.idle) - beam
	for k := range l.beats {
		for j := range w.best {
			w.best[j], w.who[j] = none, 0
		}
		for m := range manners {
			i := l.id(m, k, 0)
			for j, v := range w.leave[i : i+l.tempos] {
				if v > w.best[j] {
					w.best[j], w.who[j] = v, m
				}
			}
		}
		row := k * l.tempos
		for m := range manners {
			i := l.id(m, k, 0)
			ring := l.s.ring[int(m)*l.ringAll : int(m+1)*l.ringAll]
			var leave []uint16
			if b != nil {
				leave = b.leave[(t-b.from)*l.states()+i:][:l.tempos]
			}
			froms := w.from[i : i+l.tempos]
			for j, v := range w.leave[i : i+l.tempos] {
				from := froms[j]
				if other := w.best[j] + float32(l.cost.switchm); other > v {
					v, from = other, w.from[l.id(w.who[j], k, j)]
				}
				if v < least {
					v = none
				}
				ring[l.ringAt[row+j]+w.now[l.lasting[row+j]]] = v
				if leave != nil {
					leave[j] = from
				}
			}
		}
	}
	return idleFrom
}
