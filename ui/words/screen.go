package words

// screen are the words round the page while a session runs, on the screen and
// as lines.
type screen struct {
	end, endHelp   string // what the key does, in a word and in full
	keys, keysHelp string
	over           string
	goOn           string
	rest           string
	noDelay        string
	performance    string
	silent         string
	offer          string
	judging        string // before how far it is
	listening      string // {device}
	kept           string // {dir}
	overflows      counted
}

// End and Keys say in a word or two what the keys of the live screen do,
// EndHelp and KeysHelp in full.
func (l *Language) End() string      { return l.screen.end }
func (l *Language) EndHelp() string  { return l.screen.endHelp }
func (l *Language) Keys() string     { return l.screen.keys }
func (l *Language) KeysHelp() string { return l.screen.keysHelp }

// Over is said when nothing more is heard.
func (l *Language) Over() string { return l.screen.over }

// GoOn is what the key does that puts a notice away.
func (l *Language) GoOn() string { return l.screen.goOn }

// Rest reminds of the hands in a long session.
func (l *Language) Rest() string { return l.screen.rest }

// NoDelay says why nothing is called early or late.
func (l *Language) NoDelay() string { return l.screen.noDelay }

// Performance says what the built-in performance is, and Silent, where there
// is no loudspeaker, that it is not heard.
func (l *Language) Performance() string { return l.screen.performance }
func (l *Language) Silent() string      { return l.screen.silent }

// Offer asks, where there is no microphone, whether to play it.
func (l *Language) Offer() string { return l.screen.offer }

// Judging stands before how far the judging of files is.
func (l *Language) Judging() string { return l.screen.judging }

// Listening names the microphone.
func (l *Language) Listening(device string) string {
	return fill(l.screen.listening, "device", device)
}

// Kept says where the take is.
func (l *Language) Kept(dir string) string { return fill(l.screen.kept, "dir", dir) }

// Overflows tells how often the sound system itself lost sound.
func (l *Language) Overflows(n int64) string { return l.screen.overflows.of(int(n)) }
