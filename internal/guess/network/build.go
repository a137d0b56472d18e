package network

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/tetratelabs/wazero/api"
)

// builder lays a graph into an instance's memory and turns its steps into
// calls. The first error stays in err and makes the rest do nothing.
type builder struct {
	w   *Worker
	ctx context.Context
	id  map[int]uint64 // the kernels' numbers of tensors; 0 is none
	err error

	filterAt, biasAt uint64 // where the weights of the step at hand lie
	buffer           []byte
}

func (b *builder) build(g *graph, plan layout) {
	b.call("init")
	block := b.allocate(plan.total)
	for t, at := range plan.offset {
		b.register(t, g.tensors[t].size(), block+uint64(at))
	}
	b.placeForWeights(g)
	for i := range g.steps {
		b.step(g, &g.steps[i])
	}
	b.w.input = uint32(block) + uint32(plan.offset[g.input])
	b.w.out = uint32(block) + uint32(plan.offset[g.output])
}

// call calls an exported function now and returns its result, if it has one.
func (b *builder) call(name string, args ...uint64) uint64 {
	if b.err != nil {
		return 0
	}
	res, err := b.w.mod.ExportedFunction(name).Call(b.ctx, args...)
	if err != nil {
		b.err = err
	}
	if len(res) == 0 {
		return 0
	}
	return res[0]
}

func (b *builder) allocate(size int) uint64 {
	at := b.call("malloc", uint64(size))
	if at == 0 && b.err == nil {
		b.err = errors.New("not enough memory for the network")
	}
	return at
}

// register tells the kernels of a tensor of size values at an address.
func (b *builder) register(t, size int, at uint64) {
	b.id[t] = uint64(len(b.id) + 1)
	b.call("register_tensor", b.id[t], uint64(size), at)
}

// write puts bytes into memory of their own.
func (b *builder) write(data []byte) uint64 {
	at := b.allocate(len(data))
	b.writeAt(at, data)
	return at
}

func (b *builder) writeAt(at uint64, data []byte) {
	if b.err == nil && !b.w.mod.Memory().Write(uint32(at), data) {
		b.err = errKernels
	}
}

// weights widens a constant tensor into the place at. With outputs above 1 its
// first axis, the output channels, becomes the last, as the kernels want it.
func (b *builder) weights(t *tensor, outputs int, at uint64) {
	n := t.size()
	b.buffer = slices.Grow(b.buffer[:0], 4*n)[:4*n]
	rest := n / outputs
	for i := range n {
		v := halfFloat(binary.LittleEndian.Uint16(t.half[2*i:]))
		k := i%rest*outputs + i/rest
		binary.LittleEndian.PutUint32(b.buffer[4*k:], math.Float32bits(v))
	}
	b.writeAt(at, b.buffer)
}

// numbers puts a list of whole numbers into memory.
func (b *builder) numbers(list []int) uint64 {
	var data []byte
	for _, v := range list {
		data = binary.LittleEndian.AppendUint32(data, uint32(v))
	}
	return b.write(data)
}

func (b *builder) later(name string, args ...uint64) {
	b.w.calls = append(b.w.calls, kernelCall{b.w.mod.ExportedFunction(name), args})
}

// The kernels' codes.
const (
	float32Type       = 0
	activationNone    = 0
	activationClipped = 2
)

func (b *builder) step(g *graph, s *step) {
	in, out := &g.tensors[s.in[0]], &g.tensors[s.out]
	x, y := b.id[s.in[0]], b.id[s.out]
	switch s.kind {
	case opConv, opDepthwise:
		b.convolution(g, s)
	case opAdd:
		shape, n := b.numbers(in.shape), uint64(len(in.shape))
		b.later("Add", x, shape, n, b.id[s.in[1]], shape, n, float32Type, y)
		if s.clipped {
			b.later("Relu6", y, float32Type, y)
		}
	case opClip:
		b.later("Relu6", x, float32Type, y)
	case opSigmoid:
		b.later("Sigmoid", x, y)
	case opMaxPool:
		k, d := uint64(s.window), uint64(s.stride)
		b.later("MaxPool", x, 1, dim(in, 1), dim(in, 2), k, k, 0, 0, 0, 0, 1, 1, d, d, dim(in, 3), dim(out, 3), y)
	case opResize:
		const corners, halfPixels = 0, 1
		b.later("ResizeBilinear", x, 1, dim(in, 1), dim(in, 2), dim(in, 3), dim(out, 1), dim(out, 2), corners, halfPixels, y)
	case opPad:
		b.later("PadV2", x, b.numbers(in.shape), uint64(len(in.shape)), float32Type, b.numbers(s.before), b.numbers(s.after), api.EncodeF32(0), y)
	case opReshape:
		// The values stay as they are; only their place changes.
		b.later("PadV2", x, b.numbers([]int{in.size()}), 1, float32Type, b.numbers([]int{0}), b.numbers([]int{0}), api.EncodeF32(0), y)
	default:
		b.err = fmt.Errorf("operation %d is not known", s.kind)
	}
}

// convolution runs the step once: the kernels then pack its weights into
// memory of their own and never look at ours again, so that one place serves
// the weights of all steps.
func (b *builder) convolution(g *graph, s *step) {
	in, filter, bias := &g.tensors[s.in[0]], &g.tensors[s.in[1]], &g.tensors[s.in[2]]
	name, channels := "FusedConv2D", filter.shape[0]
	if s.kind == opDepthwise {
		name, channels = "FusedDepthwiseConv2D", filter.shape[3]
		b.weights(filter, 1, b.filterAt)
	} else {
		b.weights(filter, channels, b.filterAt)
	}
	b.weights(bias, 1, b.biasAt)
	b.register(s.in[1], filter.size(), b.filterAt)
	b.register(s.in[2], bias.size(), b.biasAt)
	same, activation, d := uint64(0), uint64(activationNone), uint64(s.stride)
	if s.same {
		same = 1
	}
	if s.clipped {
		activation = activationClipped
	}
	const padTop, padRight, padBottom, padLeft, dilation, slopes, leak = 0, 0, 0, 0, 1, 0, 0
	args := []uint64{
		b.id[s.in[0]], 1, dim(in, 1), dim(in, 2), b.id[s.in[1]], dim(filter, 1), dim(filter, 2), b.id[s.in[2]],
		padTop, padRight, padBottom, padLeft, same, dilation, dilation, d, d,
		dim(in, 3), uint64(channels), activation, slopes, leak, b.id[s.out],
	}
	b.call(name, args...)
	b.later(name, args...)
}

// placeForWeights allocates room for the largest filter and the largest bias.
func (b *builder) placeForWeights(g *graph) {
	filter, bias := 0, 0
	for i := range g.steps {
		if s := &g.steps[i]; s.kind == opConv || s.kind == opDepthwise {
			filter, bias = max(filter, g.tensors[s.in[1]].size()), max(bias, g.tensors[s.in[2]].size())
		}
	}
	b.filterAt, b.biasAt = b.allocate(4*filter), b.allocate(4*bias)
}

func dim(t *tensor, axis int) uint64 { return uint64(t.shape[axis]) }
