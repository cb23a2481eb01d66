//go:build !nomic

package audio

import "sync/atomic"

// ring hands samples from one goroutine or thread to one other, without locks
// and without waiting. The writer calls put or putOrLose, the reader get.
//
// Positions count all samples that ever passed; a position's place in buf is
// its lower bits. The writer publishes samples by storing head, the reader
// frees them by storing tail; each stores only its own.
type ring struct {
	buf  []float32 // its length is a power of two
	gaps [maxGaps]gap

	_       [64]byte // head and tail are on cache lines of their own
	head    atomic.Uint64
	gapHead atomic.Uint64
	pending int64 // samples lost since the last one written; the writer's
	lost    atomic.Int64
	_       [64]byte
	tail    atomic.Uint64
	gapTail atomic.Uint64
}

// gap is a place where samples were lost.
type gap struct {
	at   uint64 // the position of the first sample after it
	lost int64
}

// maxGaps is how many gaps can wait to be read. Beyond that, a gap is not
// ended before there is room for its mark.
const maxGaps = 64

// newRing returns a ring for at least size samples.
func newRing(size int) *ring {
	n := 1
	for n < size {
		n *= 2
	}
	return &ring{buf: make([]float32, n)}
}

// free returns how many samples fit now.
func (r *ring) free() int { return len(r.buf) - r.filled() }

// filled returns how many samples wait to be read.
func (r *ring) filled() int { return int(r.head.Load() - r.tail.Load()) }

// put writes as many of s as fit and returns how many did.
func (r *ring) put(s []float32) int {
	s = s[:min(len(s), r.free())]
	h := r.head.Load()
	at := int(h & uint64(len(r.buf)-1))
	n := copy(r.buf[at:], s)
	copy(r.buf, s[n:])
	r.head.Store(h + uint64(len(s)))
	return len(s)
}

// putOrLose writes all of s, or, where it does not fit, none of it; the reader
// is told how much is missing, and where.
func (r *ring) putOrLose(s []float32) {
	g := r.gapHead.Load()
	if len(s) > r.free() || r.pending > 0 && g-r.gapTail.Load() == maxGaps {
		r.pending += int64(len(s))
		r.lost.Add(int64(len(s)))
		return
	}
	if r.pending > 0 && len(s) > 0 {
		r.gaps[g%maxGaps] = gap{at: r.head.Load(), lost: r.pending}
		r.gapHead.Store(g + 1) // before head: whoever sees the sample sees the gap
		r.pending = 0
	}
	r.put(s)
}

// get fills dst with up to len(dst) samples that follow each other without a
// gap. lost counts the samples missing before the first of them; it is 0 if
// n is.
func (r *ring) get(dst []float32) (n int, lost int64) {
	t := r.tail.Load()
	n = min(len(dst), int(r.head.Load()-t))
	if n == 0 {
		return 0, 0
	}
	g, end := r.gapTail.Load(), r.gapHead.Load()
	if g != end && r.gaps[g%maxGaps].at == t {
		lost = r.gaps[g%maxGaps].lost
		g++
		r.gapTail.Store(g)
	}
	if g != end {
		n = int(min(uint64(n), r.gaps[g%maxGaps].at-t))
	}
	at := int(t & uint64(len(r.buf)-1))
	k := copy(dst[:n], r.buf[at:])
	copy(dst[k:n], r.buf)
	r.tail.Store(t + uint64(n))
	return n, lost
}
