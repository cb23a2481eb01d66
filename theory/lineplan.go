package theory

// Over is the line as a plan of turns: one pass of it takes that many, the last
// of which may ask for nothing, and each turn that asks last for the tonic
// lands there.
func (l Line) Over(turns int) Line {
	l.Turns = max(l.Turns, min(turns, MaxTurns))
	items := make([]Item, len(l.Items))
	copy(items, l.Items)
	for i := range items {
		if i+1 < len(items) && items[i+1].Position.Turn == items[i].Position.Turn {
			continue
		}
		for _, c := range items[i].Choices {
			if c.Kind == ExactNote && c.Note.PitchClass() == l.Key.Tonic.PitchClass() {
				items[i].Landing = true
			}
		}
	}
	l.Items = items
	return l
}
