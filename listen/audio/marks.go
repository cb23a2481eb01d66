//go:build !nomic

package audio

import (
	"sync/atomic"
	"time"
)

// epoch is where the times of marks count from, for all streams alike.
var epoch = time.Now()

// marks hand reports of how many frames had passed, and when, from a callback
// to one goroutine, without locks and without waiting. What does not fit is
// dropped: the next report tells as much.
type marks struct {
	buf        [512]mark
	head, tail atomic.Uint64
}

type mark struct {
	frames int64
	at     time.Duration
}

func (m *marks) put(frames int64) {
	h := m.head.Load()
	if h-m.tail.Load() == uint64(len(m.buf)) {
		return
	}
	m.buf[h%uint64(len(m.buf))] = mark{frames, time.Since(epoch)}
	m.head.Store(h + 1)
}

// each calls report with what has come since the last call.
func (m *marks) each(report func(frames int64, at time.Duration)) {
	t, end := m.tail.Load(), m.head.Load()
	for ; t != end; t++ {
		k := m.buf[t%uint64(len(m.buf))]
		report(k.frames, k.at)
	}
	m.tail.Store(t)
}
