package pulse

// Rise is a tempo that rises: by Step beats a minute after Clean clean turns
// in a row, up to Most. Make one with its exported fields and tell it of each
// turn.
type Rise struct {
	Step  float64 // beats a minute, more than 0
	Clean int     // turns, 1 or more
	Most  float64 // beats a minute

	run int
}

// Turn tells of a turn that has ended, whether it was clean (every note right,
// and on time where timing is judged), and returns the tempo that follows on
// tempo: tempo itself where it stays.
func (r *Rise) Turn(clean bool, tempo float64) float64 {
	if !clean {
		r.run = 0
		return tempo
	}
	if r.run++; r.run < r.Clean || tempo >= r.Most {
		return tempo
	}
	r.run = 0
	return min(tempo+r.Step, r.Most)
}
