package listen

import (
	"encoding/json"
	"fmt"
	"io"
)

// StreamSchema is the name and version of the event stream.
const StreamSchema = "bordon-listen/1"

// Devices that a session uses, by name; "" where there is none.
type Devices struct {
	Input  string `json:"input"`
	Output string `json:"output"`
}

// Stream writes the contract's event stream, one JSON object a line: a start,
// the events of a session, an end.
type Stream struct {
	out io.Writer
	s   *Session
}

// NewStream returns a Stream on the events of s, written to w.
func NewStream(w io.Writer, s *Session) *Stream { return &Stream{w, s} }

// Start writes the settings and the devices.
func (st *Stream) Start(d Devices) error {
	return st.write(struct {
		Event  string `json:"event"`
		Schema string `json:"schema"`
		TakeSettings
		Devices Devices  `json:"devices"`
		Delay   *float64 `json:"delay_ms"`
	}{"start", StreamSchema, st.s.settings(), d, st.s.delay()})
}

// Event writes one event of the session.
func (st *Stream) Event(e Event) error {
	switch e.Kind {
	case Provisional, Final:
		return st.write(struct {
			Event EventKind `json:"event"`
			Beat
			Try int `json:"try,omitempty"`
		}{e.Kind, st.s.beat(e.Verdict), e.Try})
	case ExtraNote:
		return st.write(struct {
			Event EventKind `json:"event"`
			Turn  int       `json:"turn"`
			extra
		}{e.Kind, e.Extra.Turn, extraOf(st.s.note(e.Extra.Heard))})
	case GapFound:
		return st.write(struct {
			Event EventKind `json:"event"`
			TakeGap
		}{e.Kind, st.s.gap(e.Gap)})
	case NewTempo:
		return st.write(struct {
			Event EventKind `json:"event"`
			TempoChange
		}{e.Kind, e.Tempo})
	case PlaceFound:
		return st.write(struct {
			Event EventKind `json:"event"`
			Time  float64   `json:"time_s"`
			Place
		}{e.Kind, st.s.seconds(e.At), e.Place})
	case PlaceLost:
		return st.write(struct {
			Event EventKind `json:"event"`
			Time  float64   `json:"time_s"`
		}{e.Kind, st.s.seconds(e.At)})
	case TurnScore:
		return st.write(struct {
			Event EventKind `json:"event"`
			Turn  int       `json:"turn,omitempty"`
			Score
		}{e.Kind, e.Turn, ScoreOf(e.Score)})
	}
	return fmt.Errorf("write an event: kind %q is unknown", string(e.Kind))
}

// End writes the end, with the take's folder; "" where nothing was kept.
func (st *Stream) End(dir string) error {
	end := struct {
		Event string  `json:"event"`
		Dir   *string `json:"dir"`
	}{Event: "end"}
	if dir != "" {
		end.Dir = &dir
	}
	return st.write(end)
}

func (st *Stream) write(v any) error {
	line, err := json.Marshal(v)
	if err == nil {
		_, err = st.out.Write(append(line, '\n'))
	}
	if err != nil {
		return fmt.Errorf("write an event: %w", err)
	}
	return nil
}
