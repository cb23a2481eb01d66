package listen

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"bordon/dsp"
	"bordon/fixtures/schema"
	"bordon/listen/match"
	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCheckIsWrittenAsTheContractSays(t *testing.T) {
	notes := []dsp.Note{heardNote(0, at(1, 7)+576, 47), heardNote(1, at(1, 8), 46), heardNote(2, at(1, 8.5), 48), heardNote(3, at(1, 10), 43)}
	s, _ := hearFake(t, scenario(t), notes, at(2, 1), 4096)
	got, err := json.Marshal(s.Check("take.wav"))
	require.NoError(t, err)
	// Field by field and in the contract's order.
	want := `{"schema":"bordon-check/1","file":"take.wav","key":"G","form":"alegrias","cejilla":0,"line":"7:3 8:2 9:7 10:1",` +
		`"tempo_bpm":120,"first_beat_s":1,"a4_hz":440,"tuning_cents":-3.1,"tolerance":"learning","delay_ms":0,"beats":[` +
		`{"turn":1,"beat":"7","time_s":4,"expected":{"midi":47,"name":"B2","degree":"3"},` +
		`"heard":{"midi":47,"name":"B2","cents":-4,"time_s":4.012,"confidence":0.95},` +
		`"pitch":"right","timing":"on-time","offset_ms":12,"decided_s":4.102,"reason":""},` +
		`{"turn":1,"beat":"8","time_s":4.5,"expected":{"midi":45,"name":"A2","degree":"2"},` +
		`"heard":{"midi":46,"name":"Bb2","cents":-4,"time_s":4.5,"confidence":0.95},` +
		`"pitch":"out-of-scale","timing":"on-time","offset_ms":0,"decided_s":4.655,"reason":"out-of-scale in G"},` +
		`{"turn":1,"beat":"9","time_s":5,"expected":{"midi":42,"name":"F#2","degree":"7"},` +
		`"heard":null,"pitch":"missing","timing":null,"offset_ms":null,"decided_s":5.375,"reason":"missing in G"},` +
		`{"turn":1,"beat":"10","time_s":5.5,"expected":{"midi":43,"name":"G2","degree":"1"},` +
		`"heard":{"midi":43,"name":"G2","cents":-4,"time_s":5.5,"confidence":0.95},` +
		`"pitch":"right","timing":"on-time","offset_ms":0,"decided_s":5.59,"reason":""}],` +
		`"extra":[{"time_s":4.75,"midi":48,"name":"C3","cents":-4,"confidence":0.95}],` +
		`"score":{"judged":4,"right":2,"right_on_time":2,"octave":0,"in_scale":0,"out_of_scale":1,"missing":1,"unsure":0,"strummed":0,` +
		`"extra":1,"accuracy":0.5,"accuracy_on_time":0.5,"offset_mean_ms":4,"offset_sd_ms":5.7}}`
	assert.Equal(t, want, string(got))
	assert.NoError(t, schema.Validate(schema.Check, got))
}

func TestCheckWithACejilla(t *testing.T) {
	set := scenario(t)
	set.Cejilla = 3
	notes := []dsp.Note{heardNote(0, at(1, 7), 50), heardNote(1, at(1, 8), 49), heardNote(2, at(1, 9), 45), heardNote(3, at(1, 10), 46)}
	s, _ := hearFake(t, set, notes, at(2, 1), 4096)
	c := s.Check("take.wav")
	require.Len(t, c.Beats, 4)
	assert.Equal(t, Expected{MIDI: 48, Name: "C3", Degree: "2", Fingered: "A2"}, c.Beats[1].Expected)
	assert.Equal(t, "Db3", c.Beats[1].Heard.Name, "spelled in B flat, which sounds")
	assert.Equal(t, "Bb2", c.Beats[1].Heard.Fingered, "spelled in G, which is fingered")
	assert.Equal(t, match.OutOfScale, c.Beats[1].Pitch)
	assert.Equal(t, "Bb2", c.Beats[3].Expected.Name)
	valid(t, schema.Check, c)
}

func TestCheckOfALooseLine(t *testing.T) {
	set := scenario(t)
	set.LineText = "7:scale 8:chord 9:C3|5 10:1"
	set.Line, _ = theory.ParseLine(set.LineText, set.Key, set.Form, theory.Standard)
	notes := []dsp.Note{heardNote(0, at(1, 7), 52), heardNote(2, at(1, 9), 49), heardNote(3, at(1, 10), 43)}
	s, _ := hearFake(t, set, notes, at(2, 1), 4096)
	c := s.Check("take.wav")
	require.Len(t, c.Beats, 4)
	assert.Equal(t, Expected{MIDI: 52, Name: "E3", Degree: "6", Accepts: []string{"scale"}}, c.Beats[0].Expected)
	assert.Equal(t, []string{"chord"}, c.Beats[1].Expected.Accepts)
	assert.Equal(t, match.Missing, c.Beats[1].Pitch)
	assert.Equal(t, []string{"C3", "5"}, c.Beats[2].Expected.Accepts)
	assert.Equal(t, 48, c.Beats[2].Expected.MIDI, "C3 and D3 are as near; the first written counts")
	assert.Empty(t, c.Beats[3].Expected.Accepts)
	valid(t, schema.Check, c)
}

func TestCheckOfNothing(t *testing.T) {
	set := scenario(t)
	set.LineText = ""
	s, events := hearFake(t, set, nil, 0, 4096)
	require.Len(t, events, 1)
	c := s.Check("empty.wav")
	assert.Nil(t, c.Tuning)
	assert.Equal(t, "7:B2 8:A2 9:F#2 10:G2", c.Line, "the default line, resolved")
	b := valid(t, schema.Check, c)
	assert.Contains(t, string(b), `"beats":[],"extra":[]`)
	assert.Contains(t, string(b), `"accuracy":null,"accuracy_on_time":null,"offset_mean_ms":null,"offset_sd_ms":null`)
}

func TestCheckReadsBack(t *testing.T) {
	s, _ := hearFake(t, scenario(t), twoTurns(), at(3, 1), 4096)
	c := s.Check("take.wav")
	var back Check
	require.NoError(t, json.Unmarshal(valid(t, schema.Check, c), &back))
	assert.Equal(t, c, back)
}

func valid(t *testing.T, name schema.Name, v any) []byte {
	t.Helper()
	b, err := json.Marshal(v)
	require.NoError(t, err)
	require.NoError(t, schema.Validate(name, b), "%s", b)
	return b
}

func TestStream(t *testing.T) {
	set := scenario(t)
	set.Delay = 133.35
	notes := twoTurns()
	for i := range notes {
		notes[i].Onset += testRate * 133 / 1000
		notes[i].Decided += testRate * 133 / 1000
	}
	s, err := newSession(set, testRate, &fakeEar{notes: notes})
	require.NoError(t, err)
	var out bytes.Buffer
	stream := NewStream(&out, s)
	require.NoError(t, stream.Start(Devices{Input: "microphone"}))
	tell := func(events []Event) {
		for _, e := range events {
			require.NoError(t, stream.Event(e))
		}
	}
	tell(s.Write(make([]float32, at(1, 11))))
	tell(s.Lose(480))
	tell(s.Write(make([]float32, at(3, 1)-at(1, 11))))
	tell(s.Close())
	require.NoError(t, stream.End("takes/2030-01-01T10-00-00-G"))

	count := map[string]int{}
	lines := strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
	for _, line := range lines {
		require.NoError(t, schema.Validate(schema.Listen, []byte(line)), "%s", line)
		var e struct {
			Event string `json:"event"`
		}
		require.NoError(t, json.Unmarshal([]byte(line), &e))
		count[e.Event]++
	}
	assert.Equal(t, map[string]int{"start": 1, "provisional": 1, "verdict": 8, "extra": 1, "gap": 1, "score": 3, "end": 1}, count)
	assert.Equal(t, `{"event":"start","schema":"bordon-listen/1","key":"G","form":"alegrias","cejilla":0,"line":"7:3 8:2 9:7 10:1",`+
		`"tempo_bpm":120,"first_beat_s":1,"a4_hz":440,"tolerance":"learning","turns":0,"exact":false,"rate_hz":48000,`+
		`"devices":{"input":"microphone","output":""},"delay_ms":133.35}`, lines[0])
	assert.Equal(t, `{"event":"verdict","turn":1,"beat":"7","time_s":4,"expected":{"midi":47,"name":"B2","degree":"3"},`+
		`"heard":{"midi":47,"name":"B2","cents":-4,"time_s":4.133,"confidence":0.95},`+
		`"pitch":"right","timing":"on-time","offset_ms":-0.4,"decided_s":4.223,"reason":""}`, lines[1])
	assert.Equal(t, `{"event":"end","dir":"takes/2030-01-01T10-00-00-G"}`, lines[len(lines)-1])
}

// keys are the names in a JSON document in order, each with the path to it;
// of an array those of its first element.
func keys(t *testing.T, doc string) []string {
	t.Helper()
	d := json.NewDecoder(strings.NewReader(doc))
	var all []string
	var walk func(path string, tell bool)
	walk = func(path string, tell bool) {
		token, err := d.Token()
		require.NoError(t, err)
		for i := 0; token == json.Delim('{') || token == json.Delim('['); i++ {
			if !d.More() {
				_, err := d.Token()
				require.NoError(t, err)
				return
			}
			if token == json.Delim('[') {
				walk(path+"[]", tell && i == 0)
				continue
			}
			name, err := d.Token()
			require.NoError(t, err)
			if tell {
				all = append(all, path+"."+name.(string))
			}
			walk(path+"."+name.(string), tell)
		}
	}
	walk("", true)
	return all
}

// Names and their order are those of the contract's own example.
func TestCheckHasTheNamesOfTheContract(t *testing.T) {
	s, _ := hearFake(t, scenario(t), twoTurns(), at(3, 1), 4096)
	b, err := json.Marshal(s.Check("take.wav"))
	require.NoError(t, err)
	assert.Equal(t, keys(t, schema.Example), keys(t, string(b)))
}

func TestStreamWithoutADelayOrATake(t *testing.T) {
	set := scenario(t)
	set.DelayKnown = false
	s, events := hearFake(t, set, twoTurns(), at(3, 1), 4096)
	var out bytes.Buffer
	stream := NewStream(&out, s)
	require.NoError(t, stream.Start(Devices{}))
	for _, e := range events {
		require.NoError(t, stream.Event(e))
	}
	require.NoError(t, stream.End(""))
	for line := range strings.Lines(out.String()) {
		require.NoError(t, schema.Validate(schema.Listen, []byte(line)), "%s", line)
		assert.NotContains(t, line, "on-time\"", "nobody is called early or late")
	}
	assert.Contains(t, out.String(), `"delay_ms":null`)
	assert.Contains(t, out.String(), `{"event":"end","dir":null}`)
	assert.Error(t, stream.Event(Event{Kind: "pause"}))
}

func TestTake(t *testing.T) {
	s, err := newSession(scenario(t), testRate, &fakeEar{notes: twoTurns()})
	require.NoError(t, err)
	s.Write(make([]float32, 4800))
	s.Lose(480)
	s.Write(make([]float32, at(3, 1)))
	s.Close()
	lostAt := int64(testRate / 10)
	take := s.Take(time.Date(2030, 1, 1, 10, 0, 0, 0, time.UTC), Devices{"microphone", "phones"}, "take.wav")
	b := valid(t, schema.Take, take)
	var back Take
	require.NoError(t, json.Unmarshal(b, &back))
	assert.Equal(t, take, back)
	assert.Equal(t, "2030-01-01T10:00:00Z", back.Started)
	assert.Equal(t, []TakeGap{{Time: 0.1, Lost: 480, Sample: &lostAt}}, back.Gaps)
}
