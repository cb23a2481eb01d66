package listen

import (
	"bordon/dsp"
	"bordon/listen/grid"
)

// recent is what was heard lately, as evidence of where the beats are.
type recent struct {
	from  int64 // sample at which it begins
	notes int   // of the Free's, those before are taken in
	sound int   // likewise
	last  []dsp.Note
	class []grid.Chroma
}

// see is the evidence of the last lookBack seconds, its samples counted from
// the beginning of them.
func (r *recent) see(f *Free) *grid.Evidence {
	r.from = max(f.heard-int64(lookBack*float64(f.rate)), 0)
	for ; r.notes < len(f.notes); r.notes++ {
		if n := &f.notes[r.notes]; n.Last {
			r.last = append(r.last, *n)
		}
	}
	for ; r.sound < len(f.sound); r.sound++ {
		r.class = append(r.class, classesOf(&f.sound[r.sound]))
	}
	keepNotes, keepSound := r.last[:0], 0
	for i := range r.last {
		if r.last[i].Onset >= r.from {
			keepNotes = append(keepNotes, r.last[i])
		}
	}
	r.last = keepNotes
	for keepSound < len(r.class) && r.class[keepSound].At < r.from {
		keepSound++
	}
	r.class = append(r.class[:0], r.class[keepSound:]...)

	e := &grid.Evidence{Rate: f.rate, Length: f.heard - r.from}
	for i := range r.last {
		n := r.last[i]
		n.Onset -= r.from
		n.Decided -= r.from
		e.Notes = append(e.Notes, n)
	}
	for _, c := range r.class {
		c.At -= r.from
		e.Chroma = append(e.Chroma, c)
	}
	return e
}
