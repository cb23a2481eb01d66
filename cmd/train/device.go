//go:build cuda

package main

/*
#cgo LDFLAGS: -ldl
#include <dlfcn.h>
#include <stdint.h>
#include <stdlib.h>

// The library is opened when it is needed: it is built where the card is.
static void *library;
static const char *open_library(const char *path) {
	library = dlopen(path, RTLD_NOW);
	return library ? 0 : dlerror();
}
#define CALL(name, types, args) return ((int (*) types)dlsym(library, name)) args
static const char *fault() { return ((const char *(*)())dlsym(library, "bordon_fault"))(); }
static int dev_open(long n, const int *s, const void *p, const void *q, const void *r) { CALL("bordon_open", (long, const int *, const void *, const void *, const void *), (n, s, p, q, r)); }
static int dev_clear() { CALL("bordon_clear", (), ()); }
static int dev_add(const void *look, const void *l, long n) { CALL("bordon_add", (const void *, const void *, long), (look, l, n)); }
static int dev_net(int a, int b, int c, int n, const float *w) { CALL("bordon_net", (int, int, int, int, const float *), (a, b, c, n, w)); }
static int dev_pass(const int *w, int n, uint64_t seed, float without) { CALL("bordon_pass", (const int *, int, uint64_t, float), (w, n, seed, without)); }
static int dev_update(float a, float b, float c, float d, float e, float f) { CALL("bordon_update", (float, float, float, float, float, float), (a, b, c, d, e, f)); }
static int dev_out(const char *what, float *w) { CALL(what, (float *), (w)); }
static int dev_lost(double *s) { CALL("bordon_lost", (double *), (s)); }
*/
import "C"

import (
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"time"
	"unsafe"

	"bordon/dsp"
)

// device is a card that trains nets, by cuda.cu.
type device struct{ n int }

func failed(doing string, r C.int) error {
	if r == 0 {
		return nil
	}
	return fmt.Errorf("%s: %s", doing, C.GoString(C.fault()))
}

// newDevice opens the library that was built of cuda.cu, with room for so many
// examples.
func newDevice(room int) (*device, error) {
	path := os.Getenv("BORDON_CUDA")
	if path == "" {
		path = "./libbordontrain.so"
	}
	name := C.CString(path)
	defer C.free(unsafe.Pointer(name))
	if e := C.open_library(name); e != nil {
		return nil, errors.New("open the library for the card: " + C.GoString(e))
	}
	w := wires()
	sizes := [...]C.int{C.int(dsp.EvidenceLen), C.int(dsp.Rows), C.int(dsp.Features), C.int(dsp.AroundN), C.int(dsp.Outputs), C.int(dsp.Pitches), C.int(dsp.LowestMIDI)}
	return &device{}, failed("open the card", C.dev_open(C.long(room), &sizes[0], unsafe.Pointer(&w.places[0]), unsafe.Pointer(&w.parts[0]), unsafe.Pointer(&w.around[0])))
}

// clear forgets the examples.
func (d *device) clear() {
	d.n = 0
	C.dev_clear()
}

// add hands over examples as a shard has them.
func (d *device) add(labels, evidence []byte, n int) error {
	if n == 0 {
		return nil
	}
	d.n += n
	return failed("hand examples to the card", C.dev_add(unsafe.Pointer(&evidence[0]), unsafe.Pointer(&labels[0]), C.long(n)))
}

// load replaces what the card has by the shards' evidence at one look.
func (d *device) load(files []string, look int) error {
	d.clear()
	for _, f := range files {
		labels, evidence, n, err := readShard(f, look)
		if err != nil {
			return err
		}
		if err := d.add(labels, evidence, n); err != nil {
			return err
		}
	}
	return nil
}

func flat(n *dsp.Net) (all []float32) {
	for _, p := range n.Parts() {
		all = append(all, p...)
	}
	return all
}

func unflat(n *dsp.Net, all []float32) {
	for _, p := range n.Parts() {
		all = all[copy(p, all):]
	}
}

func (d *device) take(n *dsp.Net, batch int) error {
	w := flat(n)
	return failed("hand a net to the card", C.dev_net(C.int(n.Hidden1), C.int(n.Opinion), C.int(n.Hidden2), C.int(batch), (*C.float)(&w[0])))
}

// fetch fills n with what the card has: "bordon_weights", their "bordon_mean" or
// "bordon_slopes".
func (d *device) fetch(n *dsp.Net, what string) error {
	w := flat(n)
	name := C.CString(what)
	defer C.free(unsafe.Pointer(name))
	err := failed("fetch a net from the card", C.dev_out(name, (*C.float)(&w[0])))
	unflat(n, w)
	return err
}

func (d *device) pass(which []int32, seed uint64, without float64) error {
	return failed("train on the card", C.dev_pass((*C.int)(&which[0]), C.int(len(which)), C.uint64_t(seed), C.float(without)))
}

func (d *device) lost(n int) (loss, error) {
	var s [7]C.double
	err := failed("ask the card what was lost", C.dev_lost(&s[0]))
	return loss{class: float64(s[0]), strum: float64(s[1]), sound: float64(s[2]), late: float64(s[3]),
		n: n, rightNote: int(s[4]), notes: int(s[5]), falsely: int(s[6])}, err
}

// kept is the share of a running mean of the weights that each step keeps: the
// mean does better than where the steps end (Polyak & Juditsky, SIAM J. Control
// Optim. 30(4), 1992).
const kept = 0.9995

// learn trains net as learn does, and leaves in it the mean of its weights.
func (d *device) learn(net *dsp.Net, p plan, log io.Writer, save func() error) error {
	begin := time.Now()
	if err := d.take(net, p.batch); err != nil {
		return err
	}
	rng := rand.New(rand.NewPCG(p.seed, 1))
	order := make([]int32, d.n)
	for i := range order {
		order[i] = int32(i)
	}
	step, steps := 0, p.epochs*(d.n/p.batch)
	for epoch := range p.epochs {
		rng.Shuffle(d.n, func(i, j int) { order[i], order[j] = order[j], order[i] })
		for at := 0; at+p.batch <= d.n; at += p.batch {
			step++
			if err := d.pass(order[at:at+p.batch], p.seed<<32+uint64(step), p.without); err != nil {
				return err
			}
			rate := max(p.rate*(0.5+0.5*math.Cos(math.Pi*float64(step)/float64(steps))), p.rate/200)
			c1, c2 := 1-math.Pow(0.9, float64(step)), 1-math.Pow(0.999, float64(step))
			if err := failed("train on the card", C.dev_update(C.float(1/float64(p.batch)), C.float(rate), C.float(p.decay), C.float(c1), C.float(c2), C.float(kept))); err != nil {
				return err
			}
		}
		l, err := d.lost(d.n / p.batch * p.batch)
		if err != nil {
			return err
		}
		if err := d.fetch(net, "bordon_mean"); err != nil {
			return err
		}
		fmt.Fprintf(log, "epoch %d: %s; %.0f s\n", epoch+1, l, time.Since(begin).Seconds())
		if err := save(); err != nil {
			return err
		}
	}
	return nil
}

// onDevice hands the examples in a folder to a card and returns what trains a net
// on them.
func onDevice(folder string) (func(net *dsp.Net, look int, p plan, log io.Writer, save func() error) error, error) {
	files, err := filepath.Glob(filepath.Join(folder, "*.examples"))
	if err != nil {
		return nil, err
	}
	all := int64(0)
	for _, f := range files {
		info, err := os.Stat(f)
		if err != nil {
			return nil, err
		}
		all += info.Size() / int64(exampleLen)
	}
	if all == 0 {
		return nil, fmt.Errorf("read examples: %q holds none", folder)
	}
	d, err := newDevice(int(all))
	if err != nil {
		return nil, err
	}
	return func(net *dsp.Net, look int, p plan, log io.Writer, save func() error) error {
		if err := d.load(files, look); err != nil {
			return err
		}
		fmt.Fprintf(log, "%d examples of %d files on the card\n", d.n, len(files))
		return d.learn(net, p, log, save)
	}, nil
}
