package export

import "encoding/xml"

// The elements of MusicXML 4.0 (W3C Music Notation Community Group) that are
// written, each with its children in the order that the schema wants.
type (
	score struct {
		XMLName  xml.Name `xml:"score-partwise"`
		Version  string   `xml:"version,attr"`
		Title    string   `xml:"work>work-title"`
		Software string   `xml:"identification>encoding>software"`
		Source   string   `xml:"identification>source,omitempty"` // the take
		List     []named  `xml:"part-list>score-part"`
		Parts    []partXML
	}
	named struct {
		ID          string      `xml:"id,attr"`
		Name        partName    `xml:"part-name"`
		Instrument  instrument  `xml:"score-instrument"`
		MIDIProgram midiProgram `xml:"midi-instrument"`
	}
	partName struct {
		Print string `xml:"print-object,attr,omitempty"`
		Text  string `xml:",chardata"`
	}
	instrument struct {
		ID    string `xml:"id,attr"`
		Name  string `xml:"instrument-name"`
		Sound string `xml:"instrument-sound"`
	}
	midiProgram struct {
		ID      string `xml:"id,attr"`
		Channel int    `xml:"midi-channel"`
		Program int    `xml:"midi-program"` // from 1
	}
	partXML struct {
		XMLName  xml.Name `xml:"part"`
		ID       string   `xml:"id,attr"`
		Measures []measure
	}
	measure struct {
		XMLName xml.Name `xml:"measure"`
		Number  int      `xml:"number,attr"`
		Music   []any
	}
	print struct {
		XMLName   xml.Name `xml:"print"`
		NewSystem string   `xml:"new-system,attr"`
	}
	attributes struct {
		XMLName   xml.Name   `xml:"attributes"`
		Divisions int        `xml:"divisions"`
		Key       keyXML     `xml:"key"`
		Time      timeXML    `xml:"time"`
		Clef      clef       `xml:"clef"`
		Details   *details   `xml:"staff-details"`
		Transpose *transpose `xml:"transpose"`
	}
	keyXML struct {
		Fifths int    `xml:"fifths"`
		Mode   string `xml:"mode"`
	}
	timeXML struct {
		Beats string `xml:"beats"`
		Type  int    `xml:"beat-type"`
	}
	clef struct {
		Sign   string `xml:"sign"`
		Line   int    `xml:"line"`
		Octave int    `xml:"clef-octave-change,omitempty"`
	}
	details struct {
		Lines  int      `xml:"staff-lines"`
		Tuning []tuning `xml:"staff-tuning"`
		Capo   int      `xml:"capo,omitempty"`
	}
	tuning struct {
		Line   int    `xml:"line,attr"`
		Step   string `xml:"tuning-step"`
		Alter  int    `xml:"tuning-alter,omitempty"`
		Octave int    `xml:"tuning-octave"`
	}
	transpose struct {
		Diatonic  int `xml:"diatonic"`
		Chromatic int `xml:"chromatic"`
	}
	direction struct {
		XMLName   xml.Name   `xml:"direction"`
		Placement string     `xml:"placement,attr"`
		Words     []string   `xml:"direction-type>words,omitempty"`
		Metronome *metronome `xml:"direction-type>metronome"`
		Sound     *sound     `xml:"sound"`
	}
	metronome struct {
		Unit   string `xml:"beat-unit"`
		Minute string `xml:"per-minute"`
	}
	sound struct {
		Tempo string `xml:"tempo,attr"` // quarter notes a minute
	}
	noteXML struct {
		XMLName    xml.Name   `xml:"note"`
		Pitch      *pitch     `xml:"pitch"`
		Rest       *rest      `xml:"rest"`
		Duration   int        `xml:"duration"`
		Ties       []tie      `xml:"tie"`
		Voice      int        `xml:"voice"`
		Type       string     `xml:"type,omitempty"`
		Dot        *struct{}  `xml:"dot"`
		Accidental string     `xml:"accidental,omitempty"`
		Tuplet     *inTime    `xml:"time-modification"`
		Head       *head      `xml:"notehead"`
		Notations  *notations `xml:"notations"`
	}
	pitch struct {
		Step   string `xml:"step"`
		Alter  int    `xml:"alter,omitempty"`
		Octave int    `xml:"octave"`
	}
	rest struct {
		Measure string `xml:"measure,attr,omitempty"`
	}
	tie struct {
		Type string `xml:"type,attr"`
	}
	inTime struct {
		Actual int    `xml:"actual-notes"`
		Normal int    `xml:"normal-notes"`
		Type   string `xml:"normal-type"`
	}
	head struct {
		Parentheses string `xml:"parentheses,attr"`
		Shape       string `xml:",chardata"`
	}
	notations struct {
		Tied      []tie       `xml:"tied"`
		Tuplets   []tupletXML `xml:"tuplet"`
		Technical *technical  `xml:"technical"`
	}
	tupletXML struct {
		Type    string `xml:"type,attr"`
		Bracket string `xml:"bracket,attr,omitempty"`
	}
	technical struct {
		String int `xml:"string"`
		Fret   int `xml:"fret"`
	}
)
