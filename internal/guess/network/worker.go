package network

import (
	"context"
	"encoding/binary"
	"fmt"
	"math"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
)

// Worker is one instance of the network with memory of its own (about 130 MB).
// It does one picture at a time.
type Worker struct {
	// Between is called before each of some hundreds of steps of a picture, a few
	// milliseconds apart; whoever needs the machine for a moment waits in it. nil = nothing.
	Between func()

	net   *Net
	mod   api.Module
	said  *messages
	calls []kernelCall
	input uint32 // addresses
	out   uint32
}

// instanceBytes is what an instance needs in the end.
const instanceBytes = 128 << 20

// kernelCall is a step ready to run. Its arguments are fixed, because every
// tensor has its place.
type kernelCall struct {
	fn   api.Function
	args []uint64
}

// Worker returns a new instance. Close it after use.
func (n *Net) Worker(ctx context.Context) (*Worker, error) {
	w := &Worker{net: n, said: &messages{}}
	ctx = context.WithValue(ctx, messagesKey{}, w.said)
	mod, err := n.rt.InstantiateModule(ctx, n.code, wazero.NewModuleConfig().WithName("").WithStartFunctions("__wasm_call_ctors"))
	if err != nil {
		return nil, fmt.Errorf("start the network: %w", err)
	}
	w.mod = mod
	// One growth now, or each of many would copy all that is there.
	mod.Memory().Grow((instanceBytes - mod.Memory().Size()) / pageBytes)
	b := &builder{w: w, ctx: ctx, id: map[int]uint64{}}
	b.build(n.graph, n.plan)
	if b.err != nil {
		_ = mod.Close(ctx) // the first error is the one to tell
		return nil, fmt.Errorf("start the network: %w", b.err)
	}
	return w, nil
}

// Close gives the instance's memory back.
func (w *Worker) Close(ctx context.Context) error { return w.mod.Close(ctx) }

// Run returns the points of one picture: Side rows of Side pixels of red,
// green and blue from 0 to 1. It takes a few tenths of a second and is not
// ended by ctx.
func (w *Worker) Run(ctx context.Context, pixels []float32) (pts [Points]Point, err error) {
	if len(pixels) != Side*Side*3 {
		panic("network: Run needs Side*Side*3 values")
	}
	ctx = context.WithValue(ctx, messagesKey{}, w.said)
	in, ok := w.mod.Memory().Read(w.input, uint32(4*len(pixels)))
	if !ok {
		return pts, fmt.Errorf("run the network: %w", errKernels)
	}
	putFloats(in, pixels)
	for _, c := range w.calls {
		if w.Between != nil {
			w.Between()
		}
		if _, err := c.fn.Call(ctx, c.args...); err != nil {
			return pts, fmt.Errorf("run the network: %w", err)
		}
	}
	if w.said.text.Len() > 0 {
		return pts, fmt.Errorf("run the network: %s", w.said.text.String())
	}
	out, ok := w.mod.Memory().Read(w.out, 4*Points*valuesPerPoint)
	if !ok {
		return pts, fmt.Errorf("run the network: %w", errKernels)
	}
	value := func(i int) float64 { return float64(math.Float32frombits(binary.LittleEndian.Uint32(out[4*i:]))) }
	for k := range pts {
		i := k * valuesPerPoint
		pts[k] = Point{X: value(i), Y: value(i + 1), Visible: logistic(value(i + 3)), Present: logistic(value(i + 4))}
	}
	return pts, nil
}

func logistic(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

func putFloats(b []byte, values []float32) {
	for i, v := range values {
		binary.LittleEndian.PutUint32(b[4*i:], math.Float32bits(v))
	}
}
