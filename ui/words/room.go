package words

import (
	"math"
	"strconv"
)

// room are the words on devices, their delay, and the pulse.
type room struct {
	gone, back string
	silent     string
	noPulse    string // {why}
	together   string // {ms}
	faster     string // {bpm}, {turn}
	tap        string
	tapped     string // {bpm}
	busy       string

	devices              string // {input}, {output}
	quietNow, playNow    string
	noise                string // {db}
	levelNow             string // {level}, {db}
	levels               [4]string
	levelAgain           string
	tuneNow              string // {seconds}
	stringIs             string // {string}, {note}, {how}
	notHeard             string
	inTune               string
	flat, sharp          counted
	clicks               string
	clicksWere           string // {ms}, {spread}, {heard}, {of}
	along                string
	count                string // {beat}
	alongWas             string // {ms}
	notMeasured          string // {why}
	saved                string // {path}
	askClicks, askDevice string
	deviceList           [6]string // heads
	channels             string    // in place of in and out
	standard             string
}

// Gone and Back tell of a microphone that was unplugged, Silenced of a
// loudspeaker that takes no sound.
func (l *Language) Gone() string     { return l.room.gone }
func (l *Language) Back() string     { return l.room.back }
func (l *Language) Silenced() string { return l.room.silent }

// NoPulse says why the pulse is not heard.
func (l *Language) NoPulse(why string) string { return fill(l.room.noPulse, "why", why) }

// Together says that timing is judged by the delay of player and devices
// together, in ms.
func (l *Language) Together(ms float64) string { return fill(l.room.together, "ms", whole(ms)) }

// Faster says from which turn on another tempo holds.
func (l *Language) Faster(bpm float64, turn int) string {
	return fill(l.room.faster, "bpm", l.number(bpm, 'f', -1), "turn", strconv.Itoa(turn))
}

// Tap asks for taps; Tapped says what they came to, in beats a minute.
func (l *Language) Tap() string { return l.room.tap }
func (l *Language) Tapped(bpm float64) string {
	return fill(l.room.tapped, "bpm", l.number(bpm, 'f', 1))
}

// Busy says that the sound system's own thread does not keep up.
func (l *Language) Busy() string { return l.room.busy }

// SetupDevices names the devices that are being set up.
func (l *Language) SetupDevices(input, output string) string {
	return fill(l.room.devices, "input", input, "output", output)
}

// QuietNow asks for silence, PlayNow for playing as loud as one will.
func (l *Language) QuietNow() string { return l.room.quietNow }
func (l *Language) PlayNow() string  { return l.room.playNow }

// Noise tells the room's noise in dB relative to full scale.
func (l *Language) Noise(db float64) string { return fill(l.room.noise, "db", whole(db)) }

// LevelNow tells how loud playing came in: none, too quiet, good or clipping
// (0 to 3), and its peak in dB relative to full scale.
func (l *Language) LevelNow(which int, db float64) string {
	return fill(l.room.levelNow, "level", l.room.levels[min(max(which, 0), 3)], "db", whole(db))
}

// LevelAgain says that a level is worth another try.
func (l *Language) LevelAgain() string { return l.room.levelAgain }

// TuneNow asks for the strings, one after the other, for some seconds.
func (l *Language) TuneNow(seconds int) string {
	return fill(l.room.tuneNow, "seconds", strconv.Itoa(seconds))
}

// StringIs tells how a string (1 to 6) of a note stands, in cents from where
// it belongs; heard is false where it did not sound.
func (l *Language) StringIs(n int, note string, cents float64, heard bool) string {
	how := l.room.notHeard
	if c := int(math.Round(cents)); heard {
		switch {
		case c < -tuneCents:
			how = l.room.flat.of(-c)
		case c > tuneCents:
			how = l.room.sharp.of(c)
		default:
			how = l.room.inTune
		}
	}
	return fill(l.room.stringIs, "string", l.strings[n], "note", note, "how", how)
}

// tuneCents is how far off a string still is in tune: less than one hears in
// plucked notes (common practice, no source).
const tuneCents = 3

// Clicks says that clicks will be played; ClicksWere what came of it, in ms.
func (l *Language) Clicks() string { return l.room.clicks }
func (l *Language) ClicksWere(ms, spread float64, heard, of int) string {
	return fill(l.room.clicksWere, "ms", l.number(ms, 'f', 1), "spread", l.number(spread, 'f', 1),
		"heard", strconv.Itoa(heard), "of", strconv.Itoa(of))
}

// Along asks to pluck with eight beats; Count counts them; AlongWas says what
// came of it, and what it is.
func (l *Language) Along() string              { return l.room.along }
func (l *Language) Count(beat int) string      { return fill(l.room.count, "beat", strconv.Itoa(beat)) }
func (l *Language) AlongWas(ms float64) string { return fill(l.room.alongWas, "ms", whole(ms)) }

// NotMeasured says why there is no delay; Saved where all was written.
func (l *Language) NotMeasured(why string) string { return fill(l.room.notMeasured, "why", why) }
func (l *Language) Saved(path string) string      { return fill(l.room.saved, "path", path) }

// AskClicks asks whether the loudspeaker is heard by the microphone; AskDevice
// which device to use.
func (l *Language) AskClicks() string { return l.room.askClicks }
func (l *Language) AskDevice(device string) string {
	return fill(l.room.askDevice, "device", device)
}

// MicrophoneList are the heads of the list of microphones.
func (l *Language) MicrophoneList() []string {
	h := l.room.deviceList
	return []string{h[0], h[1], h[2], l.room.channels, h[5]}
}

// DeviceList are the heads of the list of devices, Standard the mark of the
// system's own choice.
func (l *Language) DeviceList() []string { return append([]string(nil), l.room.deviceList[:]...) }
func (l *Language) Standard() string     { return l.room.standard }

func whole(v float64) string { return strconv.FormatFloat(math.Round(v)+0, 'f', 0, 64) }
