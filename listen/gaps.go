package listen

import (
	"cmp"
	"context"
	"slices"
)

// WithGaps is a recording in which samples were lost: the silence that stands
// in their place is told of as lost, as it was when it was recorded, so that
// what is judged is the same. Gaps that lie outside of the recording or within
// each other are left out.
func WithGaps(src Source, gaps []Gap) Source {
	gaps = slices.Clone(gaps)
	slices.SortStableFunc(gaps, func(a, b Gap) int { return cmp.Compare(a.At, b.At) })
	return &gapped{Source: src, gaps: gaps}
}

type gapped struct {
	Source
	gaps []Gap // that are still to come, in order
	at   int64 // sample that comes next
}

func (g *gapped) Read(ctx context.Context, dst []float32) (n int, lost int64, err error) {
	for len(g.gaps) > 0 && (g.gaps[0].At < g.at || g.gaps[0].Lost <= 0) {
		g.gaps = g.gaps[1:]
	}
	if len(g.gaps) == 0 {
		n, lost, err = g.Source.Read(ctx, dst)
		return n, lost, err
	}
	next := g.gaps[0]
	if next.At > g.at {
		n, lost, err = g.Source.Read(ctx, dst[:min(int64(len(dst)), next.At-g.at)])
		g.at += int64(n) + lost
		return n, lost, err
	}
	for next.Lost > 0 && err == nil && len(dst) > 0 {
		var more int64
		n, more, err = g.Source.Read(ctx, dst[:min(int64(len(dst)), next.Lost)])
		if n < 0 || more < 0 || int64(n)+more == 0 {
			break
		}
		next.Lost -= int64(n) + more
		lost += int64(n) + more
	}
	g.at += lost
	g.gaps[0] = Gap{At: g.at, Lost: next.Lost} // what is left of it is told of by the next call
	return 0, lost, err
}
