package main

import (
	"bufio"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"bordon/listen/audio"
	"bordon/listen/config"
	"bordon/listen/live"
)

// setupFlags are the flags of setup.
type setupFlags struct {
	input, output string
	headphones    bool
	part          string
	list          bool
	format        string
	seconds       int
	a4            float64
	cejilla       int
	tuning        string
}

const everyPart = "all"

var setupParts = []string{everyPart, "devices", "level", "tuning", "delay"}

func (a *app) setupCommand() *cobra.Command {
	f := setupFlags{part: everyPart, format: formats[0], seconds: 30, a4: 440}
	cmd := &cobra.Command{
		Use:   "setup",
		Short: "Choose devices, hear level, room and tuning, and measure the delay",
		Long: `Set up what live listening needs: which microphone and loudspeaker, whether the
level is right, how loud the room is, whether the guitar is in tune, and the
delay of the devices, without which early and late cannot be said.

The delay is measured with clicks, which begin quiet: keep still meanwhile. With
headphones the microphone hears no clicks; then --headphones lets you pluck along
with eight claps, which measures you and your devices together. Each pair of
devices keeps figures of its own.`,
		Example: `  bordon setup
  bordon setup --input usb --output headphones --headphones
  bordon setup --part delay
  bordon setup --list --format json     # the devices, for scripts`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if f.list {
				return fail(a.listAllDevices(cmd.Context(), f.format))
			}
			return fail(a.setup(cmd.Context(), &f))
		},
	}
	fs := cmd.Flags()
	fs.StringVar(&f.input, "input", f.input, "microphone, by name, part of a name, or number")
	fs.StringVar(&f.output, "output", f.output, "loudspeaker, by name, part of a name, or number")
	fs.BoolVar(&f.headphones, "headphones", f.headphones, "measure the delay by plucking along: the microphone hears no clicks")
	fs.Var(&word{to: &f.part, words: setupParts}, "part", "set up only that part")
	fs.BoolVar(&f.list, "list", f.list, "list the devices and end")
	fs.Var(&word{to: &f.format, words: formats}, "format", "how to list them")
	complete(cmd, "part", setupParts)
	complete(cmd, "format", formats)
	complete(cmd, "input", nil)
	complete(cmd, "output", nil)
	return cmd
}

// setup goes through the parts in order and keeps what it finds.
func (a *app) setup(ctx context.Context, f *setupFlags) error {
	wants := func(part string) bool { return f.part == everyPart || f.part == part }
	c, err := config.Load(a.config)
	if err != nil {
		return err
	}
	c.Input, c.Output = cmp.Or(f.input, c.Input), cmp.Or(f.output, c.Output)
	in := bufio.NewReader(a.stdin)
	asking := isTerminal(a.stdin)
	if asking && wants("devices") {
		if err := a.listAllDevices(ctx, formats[0]); err != nil {
			return err
		}
		if f.input == "" {
			c.Input = a.ask(ctx, in, language.AskDevice("microphone"))
		}
		if f.output == "" {
			c.Output = a.ask(ctx, in, language.AskDevice("loudspeaker"))
		}
	}
	if f.part == "devices" {
		return a.saved(c)
	}
	o := &opener{a: a, input: c.Input, output: c.Output, play: wants("delay")}
	mic, out, err := o.open(ctx)
	if err != nil {
		return err
	}
	closeAll := func() error {
		errs := []error{mic.Close()}
		if out != nil {
			errs = append(errs, out.Close())
		}
		return errors.Join(errs...)
	}
	fmt.Fprintln(a.stdout, language.SetupDevices(printable(o.devices.Input), printable(cmp.Or(o.devices.Output, "-"))))
	if wants("level") {
		err = a.setupLevel(ctx, mic, &c)
	}
	if err == nil && wants("tuning") {
		err = a.tuneStrings(ctx, mic, f)
	}
	err = errors.Join(err, closeAll())
	if err == nil && wants("delay") {
		if asking && !f.headphones {
			answer := a.ask(ctx, in, language.AskClicks())
			f.headphones = strings.HasPrefix(strings.ToLower(answer), "n")
		}
		err = a.setupDelay(ctx, o, &c, f.headphones)
	}
	if ctx.Err() != nil {
		return nil
	}
	if err != nil {
		return err
	}
	return a.saved(c)
}

func (a *app) saved(c config.Config) error {
	if err := c.Save(a.config); err != nil {
		return err
	}
	fmt.Fprintln(a.stdout, language.Saved(printable(cmp.Or(a.config, config.Path()))))
	return nil
}

// ask asks for a line; the end of the input is an empty one.
func (a *app) ask(ctx context.Context, in *bufio.Reader, question string) string {
	fmt.Fprint(a.stderr, question+" ")
	got := make(chan string, 1)
	go func() {
		s, _ := in.ReadString('\n')
		got <- strings.TrimSpace(s)
	}()
	select {
	case s := <-got:
		return s
	case <-ctx.Done():
		return ""
	}
}

// hearFor reads from a microphone for some seconds.
func hearFor(ctx context.Context, mic live.Microphone, seconds float64, on func([]float32)) error {
	buf := make([]float32, mic.Rate()/50)
	for left := int64(seconds * float64(mic.Rate())); left > 0; {
		n, lost, err := mic.Read(ctx, buf)
		if err != nil && !errors.Is(err, io.EOF) {
			return err
		}
		on(buf[:n])
		left -= int64(n) + lost
		if err != nil {
			return nil
		}
	}
	return nil
}

// Levels of playing, as their peak in dB relative to full scale (common
// practice, no source): headroom of some dB above, the room's noise far below.
const (
	levelNone  = -70.0
	levelQuiet = -30.0
	levelTries = 3
)

// setupLevel hears the room, then the guitar.
func (a *app) setupLevel(ctx context.Context, mic live.Microphone, c *config.Config) error {
	fmt.Fprintln(a.stdout, language.QuietNow())
	var sum float64
	var count int
	err := hearFor(ctx, mic, 3, func(x []float32) {
		for _, v := range x {
			sum += float64(v) * float64(v)
		}
		count += len(x)
	})
	if err != nil {
		return err
	}
	noise := math.Round(10 * math.Max(10*math.Log10(sum/float64(max(count, 1))+1e-12), -120))
	noise /= 10
	c.Noise = &noise
	fmt.Fprintln(a.stdout, language.Noise(-noise))
	for try := range levelTries {
		if try > 0 {
			fmt.Fprintln(a.stdout, language.LevelAgain())
		}
		fmt.Fprintln(a.stdout, language.PlayNow())
		peak, run, clipped := 0.0, 0, false
		err := hearFor(ctx, mic, 5, func(x []float32) {
			for _, v := range x {
				p := math.Abs(float64(v))
				peak = max(peak, p)
				if run++; p < 0.9999 {
					run = 0
				}
				clipped = clipped || run >= 3 // as the live screen's level has it
			}
		})
		if err != nil {
			return err
		}
		db := max(20*math.Log10(peak+1e-6), -120)
		which := 2
		switch {
		case clipped:
			which = 3
		case db < levelNone:
			which = 0
		case db < levelQuiet:
			which = 1
		}
		fmt.Fprintln(a.stdout, language.LevelNow(which, -db))
		if which == 2 || which == 0 {
			break
		}
	}
	return nil
}

// setupDelay measures the delay and keeps it for the pair of devices.
func (a *app) setupDelay(ctx context.Context, o *opener, c *config.Config, headphones bool) error {
	mic, out, err := o.open(ctx) // afresh: nothing is waiting to be read
	if err != nil {
		return err
	}
	before := o.lost
	var ms float64
	d := config.Delay{Pair: config.Pair{Input: o.devices.Input, Output: o.devices.Output, Rate: o.rate},
		Measured: now().Truncate(time.Second)}
	switch {
	case out == nil:
		err = fmt.Errorf("there is no loudspeaker (%w)", o.noPulse)
	case headphones:
		fmt.Fprintln(a.stdout, language.Along())
		r, e := live.PluckAlong(ctx, mic, out, func(beat int) { a.talk("%s", language.Count(beat)) })
		ms, d.Together, err = r.MS, &ms, e
	default:
		fmt.Fprintln(a.stdout, language.Clicks())
		r, e := live.Clicks(ctx, mic, out)
		ms, d.Devices, err = r.MS, &ms, e
		if e == nil {
			defer fmt.Fprintln(a.stdout, language.ClicksWere(r.MS, r.Spread, r.Heard, r.Of))
		}
	}
	errs := mic.Close()
	if out != nil {
		errs = errors.Join(errs, out.Close())
	}
	if err == nil && o.lost > before {
		err = live.ErrFlagged
	}
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil {
		return errors.New(strings.TrimSuffix(language.NotMeasured(inWords(err)), "."))
	}
	ms = math.Round(ms*10) / 10
	if headphones {
		fmt.Fprintln(a.stdout, language.AlongWas(ms))
	}
	c.Set(d)
	return errs
}

// fullDevice is a device as setup --list writes it.
type fullDevice struct {
	Index         int    `json:"index"`
	Name          string `json:"name"`
	System        string `json:"system"`
	Inputs        int    `json:"inputs"`
	Outputs       int    `json:"outputs"`
	Rate          int    `json:"rate_hz"`
	DefaultInput  bool   `json:"default_input"`
	DefaultOutput bool   `json:"default_output"`
}

// listAllDevices lists microphones and loudspeakers.
func (a *app) listAllDevices(ctx context.Context, format string) error {
	devices, err := a.sound.devices(ctx)
	if err != nil {
		return noMicrophone{err}
	}
	if format == "json" {
		all := []fullDevice{}
		for _, d := range devices {
			all = append(all, fullDevice{d.Index, d.Name, d.HostAPI, d.Inputs, d.Outputs, d.Rate, d.DefaultInput, d.DefaultOutput})
		}
		return encode(a.stdout, all)
	}
	if len(devices) == 0 {
		return noMicrophone{audio.ErrNoMicrophone}
	}
	w := tabwriter.NewWriter(a.stdout, 0, 0, 3, ' ', 0)
	fmt.Fprintln(w, strings.Join(language.DeviceList(), "\t")+"\t")
	for _, d := range devices {
		mark := ""
		if d.DefaultInput || d.DefaultOutput {
			mark = language.Standard()
		}
		fmt.Fprintf(w, "%d\t%s\t%s\t%d\t%d\t%d\t%s\n", d.Index, printable(d.Name), d.HostAPI, d.Inputs, d.Outputs, d.Rate, mark)
	}
	return w.Flush()
}
