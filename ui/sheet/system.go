package sheet

import (
	"errors"
	"strconv"
	"strings"

	"bordon/theory"
)

// Heights of what a row has over and under its staff.
const (
	chordBand  = 7.5
	numberBand = 6.4
	wordBand   = 5.2
	placeBand  = 6.4
	nameBand   = 4.6
	mostPlaces = 4 // of one item that are written
)

// system lays out a key: its heading with the shapes, and a block for each row.
func (s Sheet) system(p Part) ([]block, error) {
	if len(p.Line.Items) == 0 {
		return nil, errors.New("the line is empty; write items such as 7:B2 8:A2 9:F#2 10:G2")
	}
	where := places(p.Line)
	rows, err := rowsOf(p.Line, where, s.left(), max(s.CountFrom, 1))
	if err != nil {
		return nil, err
	}
	turns := rows[len(rows)-1].turn
	var blocks []block
	var b *bar
	for i, r := range rows {
		if i == 0 || rows[i-1].ends {
			b = newBar(p.Line.Key)
		}
		c, y := &canvas{}, 0.0
		if i == 0 {
			y = s.heading(c, p)
		}
		if turns > 1 {
			c.text(0, y+chordBand+4.6, s.Words.Turn(r.turn), style{size: 3.4, bold: true, room: s.left()})
		}
		s.chords(c, r, p.Line, y)
		y += chordBand
		s.counts(c, r, p.Line.Form, y)
		y += numberBand + wordBand
		staff := s.staff(r, p.Line, b)
		c.put(staff, y-staff.top+1)
		y += staff.bottom - staff.top + 2
		y += s.fretted(c, r, p.Line, where, y)
		if i+1 < len(rows) {
			y += 2
		}
		blocks = append(blocks, block{y, c})
	}
	return blocks, nil
}

// left is where the columns begin: behind the clef and the longest signature
// of the sheet, so that they stand under each other in all keys.
func (s Sheet) left() float64 {
	most := 0.0
	for _, p := range s.Parts {
		sign, at := signature(p.Line.Key)
		most = max(most, float64(len(at))*(signWidth(sign)+0.12))
	}
	return (signWidth("gClef8vb") + 1 + most) * space
}

// heading names the key, and draws its shapes beside the name where there is
// room for them, else beneath. It returns how high it is.
func (s Sheet) heading(c *canvas, p Part) float64 {
	key := p.Line.Key
	const beside, size = 74.0, 6.4
	c.text(0, 6.5, s.Words.Key(key), style{size: size, bold: true, room: beside})
	f := theory.Fingering{Key: key, Cejilla: p.Cejilla}
	if p.Cejilla > 0 {
		c.text(0, 12, s.Words.Cejilla(p.Cejilla, s.Words.Key(f.Sounding())), style{size: 4, room: beside})
	}
	y := 12.0
	if p.Cejilla > 0 {
		y = 16.8
	}
	// "al aire por medio" says no more than a key that is named by it.
	if _, toque, _ := strings.Cut(f.Sung(), " por "); p.Cejilla > 0 || key.ToqueName() != "" && !strings.Contains(s.Words.Key(key), toque) {
		c.text(0, y, f.Sung(), style{size: 4, room: beside})
	}
	chords := chordsOf(p.Line)
	room := pageWidth - beside
	y = 0
	x, across := pageWidth-shapeWidth*float64(len(chords))+(shapeWidth-nutAt-neck), len(chords)
	if shapeWidth*float64(len(chords)) > room+shapeWidth-nutAt-neck {
		x, y, across = 0, shapeHeight, 5 // as many as fit
	}
	for i, chord := range chords {
		shape, held := shapeOf(chord, key, p.Line.Tuning)
		c.shape(x+shapeWidth*float64(i%across), y+shapeHeight*float64(i/across), shape, printed(s.Words.Chord(chord)), held)
	}
	return y + shapeHeight*float64((len(chords)+across-1)/across) + 1
}

// chords writes the chords over a row, each with a line for as long as it
// lasts.
func (s Sheet) chords(c *canvas, r row, line theory.Line, top float64) {
	type change struct {
		x      float64
		symbol string
	}
	var changes []change
	for i, b := range r.beats {
		symbol := printed(s.Words.Chord(line.Form.ChordAt(line.Key, float64(b.number))))
		if n := len(changes); n == 0 || changes[n-1].symbol != symbol {
			changes = append(changes, change{r.at[i] - 2, symbol})
		}
	}
	const size = 5.2
	for i, ch := range changes {
		end := r.right
		if i+1 < len(changes) {
			end = changes[i+1].x - 1.2
		}
		c.text(ch.x, top+5.5, ch.symbol, style{size: size, bold: true, room: end - ch.x})
		if from := ch.x + width(ch.symbol, size) + 1; from < end-2 {
			c.line(from, top+3.8, end, top+3.8, 0.3)
			c.line(end, top+3.8, end, top+5.3, 0.3)
		}
	}
}

// counts writes the number of each beat, and under it what is said aloud:
// accents in capitals under a bar.
func (s Sheet) counts(c *canvas, r row, form theory.Form, top float64) {
	accents := map[int]bool{}
	for _, a := range form.Accents {
		accents[a] = true
	}
	// All words of a row are of one size.
	size := 3.7
	said := make([]string, len(r.beats))
	for i, b := range r.beats {
		said[i] = s.Words.Aloud(form.CountedOn(b.number))
		if accents[b.number] {
			said[i] = strings.ToUpper(said[i])
		}
		size = min(size, max(2.4, size*(roomAt(r, i)-0.6)/width(said[i], size)))
	}
	for i, b := range r.beats {
		st := style{anchor: atMiddle, bold: accents[b.number]}
		if st.bold {
			c.box(r.at[i]-2.6, top, 5.2, 0.9, 0)
		}
		st.size = 5
		c.text(r.at[i], top+5.4, strconv.Itoa(b.number), st)
		st.size, st.room = size, roomAt(r, i)-0.6
		c.text(r.at[i], top+numberBand+3.4, said[i], st)
	}
}

// roomAt is what a text centred on a beat may take: as much as to the nearer
// neighbour, half of it on each side; at the end of the row as much as to its
// edge.
func roomAt(r row, i int) float64 {
	room := 2 * half
	if i+1 < len(r.at) {
		room = r.at[i+1] - r.at[i]
	}
	if i > 0 {
		room = min(room, r.at[i]-r.at[i-1])
	}
	return room
}

// staff draws the staff of a row, its highest line at 0.
func (s Sheet) staff(r row, line theory.Line, b *bar) *canvas {
	c := &canvas{}
	for place := 0; place <= 8; place += 2 {
		c.line(0, heightOf(place), r.right, heightOf(place), staffStroke*space)
	}
	c.sign("gClef8vb", 0.4*space, heightOf(2), space)
	sign, at := signature(line.Key)
	x := (signWidth("gClef8vb") + 0.8) * space
	for _, place := range at {
		c.sign(sign, x, heightOf(place), space)
		x += (signWidth(sign) + 0.12) * space
	}
	for i := range r.beats {
		c.beat(r.symbolsOf(i, line, b), r.beats[i].rhythm.tuplet)
	}
	if r.ends {
		c.line(r.right, heightOf(8), r.right, heightOf(0), 0.4)
	}
	return c
}

// places are where the notes of each item are held, the hand's own choice for
// the first.
func places(line theory.Line) [][]theory.Place {
	walk, err := theory.WalkOf(line)
	next := 0
	all := make([][]theory.Place, len(line.Items))
	for i, item := range line.Items {
		for _, choice := range item.Choices {
			if choice.Kind != theory.ExactNote {
				continue
			}
			place, _ := line.Tuning.Place(choice.Note.MIDI())
			if err == nil && len(all[i]) == 0 && next < len(walk.Notes) && walk.Notes[next].Position.Compare(item.Position) == 0 {
				place = walk.Notes[next].Place
				next++
			}
			all[i] = append(all[i], place)
		}
	}
	return all
}

// fretted writes strings and frets under a row, and the name and degree of
// each note; it returns how high that is.
func (s Sheet) fretted(c *canvas, r row, line theory.Line, where [][]theory.Place, top float64) float64 {
	most := 1
	for i, b := range r.beats {
		for j, e := range b.rhythm.events {
			if e.item == rest {
				continue
			}
			room := r.per[i] * (1 - e.at)
			if j+1 < len(b.rhythm.events) {
				room = r.x(i, b.rhythm.events[j+1]) - r.x(i, e)
			}
			most = max(most, s.item(c, r.x(i, e), top, room, line, line.Items[e.item], where[e.item]))
		}
	}
	return placeBand*float64(most) + nameBand*float64(most)
}

// item writes what one item asks for, each choice under the one before, and
// returns how many there are.
func (s Sheet) item(c *canvas, x, top, room float64, line theory.Line, item theory.Item, where []theory.Place) int {
	for i, choice := range item.Choices {
		y := top + float64(i)*(placeBand+nameBand)
		if i == mostPlaces-1 && len(item.Choices) > mostPlaces {
			c.text(x, y+4, "…", style{size: 4.8, anchor: atMiddle})
			break
		}
		if choice.Kind != theory.ExactNote {
			what := s.Words.OfTheKey()
			if choice.Kind == theory.AnyChord {
				what = s.Words.OfTheChord()
			}
			c.text(x, y+5, s.Words.AnyNote(), style{size: 3.4, anchor: atMiddle, room: room})
			c.text(x, y+placeBand+3.2, what, style{size: 3.2, anchor: atMiddle, room: room})
			continue
		}
		c.place(x, y, where[0])
		where = where[1:]
		c.named(x, y+placeBand+3.3, room, printed(s.Words.Name(choice.Note.Name)), printed(line.Key.Degree(choice.Note.MIDI())))
	}
	return min(len(item.Choices), mostPlaces)
}

// named writes a note's name and its degree beside each other. The octave is
// seen by the staff and the string.
func (c *canvas) named(x, y, room float64, name, degree string) {
	const between = 0.5 // of the size
	size := 3.4
	one := func() float64 { return width(name, size) }
	all := func() float64 { return one() + between*size + width(degree, size) }
	if all() > room {
		size *= room / all()
	}
	c.text(x-all()/2, y, name, style{size: size, bold: true})
	c.text(x-all()/2+one()+between*size, y, degree, style{size: size})
}

// The measures of a place: of the digits, a space of the circled number, and
// what is between them.
const (
	fretSize     = 4.8
	circleSpace  = 2.2
	circleToFret = 0.5
)

// placeWidth is how wide a place is written.
func placeWidth(p theory.Place) float64 {
	return signWidth("guitarString1")*circleSpace + circleToFret + width(strconv.Itoa(p.Fret), fretSize)
}

// place writes a string, circled as guitar scores do, and the fret.
func (c *canvas) place(x, y float64, p theory.Place) {
	if p.String < 1 || p.String > 6 {
		return
	}
	sign := "guitarString" + strconv.Itoa(p.String)
	left := x - placeWidth(p)/2
	g := glyphs[sign]
	middle := (g.top + g.bottom) / 2 / unitsPerSpace * circleSpace
	c.sign(sign, left-g.left/unitsPerSpace*circleSpace, y+3.4-middle, circleSpace)
	c.text(left+signWidth(sign)*circleSpace+circleToFret, y+5.1, strconv.Itoa(p.Fret), style{size: fretSize, bold: true})
}
