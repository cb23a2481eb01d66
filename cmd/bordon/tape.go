package main

// tape keeps the last seconds of what a session heard, by sample.
type tape struct {
	ring []float32
	at   int64 // samples of the session so far
}

// tapeSeconds are kept: a stretch of two turns at a slow tempo.
const tapeSeconds = 40

func newTape(rate int) *tape { return &tape{ring: make([]float32, tapeSeconds*rate)} }

// reset begins another session.
func (t *tape) reset() {
	clear(t.ring)
	t.at = 0
}

// write keeps samples that follow on lost ones, which are silence.
func (t *tape) write(samples []float32, lost int64) {
	size := int64(len(t.ring))
	for range min(lost, size) {
		t.ring[t.at%size] = 0
		t.at++
	}
	t.at += max(lost-size, 0)
	for _, v := range samples {
		t.ring[t.at%size] = v
		t.at++
	}
}

// cut is a copy of samples from to to - 1, as far as they are kept.
func (t *tape) cut(from, to int64) []float32 {
	size := int64(len(t.ring))
	from, to = max(from, t.at-size, 0), min(to, t.at)
	var out []float32
	for i := from; i < to; i++ {
		out = append(out, t.ring[i%size])
	}
	return out
}
