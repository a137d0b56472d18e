package network

import (
	"encoding/binary"
	"fmt"
)

// kind is an operation of the graph.
type kind int

// The operations, by their numbers in the file format (TensorFlow Lite schema,
// BuiltinOperator); only those this network uses.
const (
	opAdd       kind = 0
	opConv      kind = 3
	opDepthwise kind = 4
	opWiden     kind = 6 // half to single precision
	opSigmoid   kind = 14
	opMaxPool   kind = 17
	opClip      kind = 21 // to 0..6
	opReshape   kind = 22
	opResize    kind = 23
	opPad       kind = 34
)

// step is one operation: in are its operands' tensors, out its result's.
type step struct {
	kind    kind
	in      []int
	out     int
	same    bool // output as large as the input over the stride; else only whole windows
	stride  int
	window  int // of a maximum
	clipped bool
	before  []int // padding before and after each axis
	after   []int
}

// tensor is a value in the graph.
type tensor struct {
	shape []int  // batch, rows, columns, channels, or fewer
	half  []byte // constants in half precision; nil for what is computed
}

func (t *tensor) size() int {
	n := 1
	for _, d := range t.shape {
		n *= d
	}
	return n
}

// graph is the part of a network that its points depend on.
type graph struct {
	tensors []tensor
	steps   []step
	input   int
	output  int
}

// parseGraph reads a network file and keeps the steps that lead to the output
// with outputSize values.
func parseGraph(file []byte, outputSize int) (g *graph, err error) {
	defer func() {
		if r := recover(); r != nil {
			g, err = nil, fmt.Errorf("read the network: %v", r)
		}
	}()
	r := graphReader{model: fbRoot(file)}
	r.main = r.model.tables(2)[0]
	r.buffers, r.meta = r.model.tables(4), r.main.tables(0)
	g = &graph{tensors: make([]tensor, len(r.meta)), input: r.main.ints(1)[0], output: -1}
	for i, t := range r.meta {
		g.tensors[i].shape = t.ints(0)
	}
	for _, o := range r.main.ints(2) {
		if g.tensors[o].size() == outputSize {
			g.output = o
		}
	}
	if g.output < 0 {
		return nil, fmt.Errorf("read the network: no output of %d values", outputSize)
	}
	steps, err := r.steps(g)
	if err != nil {
		return nil, err
	}
	g.keepNeeded(steps)
	return g, nil
}

// keepNeeded keeps, in order, the steps the output depends on.
func (g *graph) keepNeeded(steps []step) {
	need := map[int]bool{g.output: true}
	for i := len(steps) - 1; i >= 0; i-- {
		if need[steps[i].out] {
			for _, t := range steps[i].in {
				need[t] = true
			}
		}
	}
	for _, s := range steps {
		if need[s.out] {
			g.steps = append(g.steps, s)
		}
	}
	for i := range g.tensors {
		if !need[i] {
			g.tensors[i].half = nil
		}
	}
}

type graphReader struct {
	model, main   fbTable
	buffers, meta []fbTable
}

// steps lists the operations in the file's order, which is an order of
// computing; widening of weights is left to
// those who load them.
func (r *graphReader) steps(g *graph) ([]step, error) {
	codes := r.model.tables(1)
	var out []step
	for _, o := range r.main.tables(3) {
		s := step{kind: kind(codes[o.int32Field(0)].byteField(0)), in: o.ints(1), out: o.ints(2)[0]}
		if s.kind == opWiden {
			g.tensors[s.out].half = r.data(s.in[0])
			continue
		}
		if err := r.options(&s, o.table(4)); err != nil {
			return nil, err
		}
		if err := s.check(g); err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}

// options reads what the operation is told beside its operands, and leaves
// only computed tensors and weights as operands.
func (r *graphReader) options(s *step, o fbTable) error {
	const clip, none = 3, 0
	activation := none
	switch s.kind {
	case opConv:
		s.same, s.stride, activation = o.byteField(0) == 0, o.int32Field(1), o.byteField(3)
	case opDepthwise:
		s.same, s.stride, activation = o.byteField(0) == 0, o.int32Field(1), o.byteField(4)
	case opMaxPool:
		s.same, s.stride, s.window = o.byteField(0) == 0, o.int32Field(1), o.int32Field(3)
	case opAdd:
		activation = o.byteField(0)
	case opPad:
		pads := r.data(s.in[1])
		for i := 0; i+8 <= len(pads); i += 8 {
			s.before = append(s.before, int(binary.LittleEndian.Uint32(pads[i:])))
			s.after = append(s.after, int(binary.LittleEndian.Uint32(pads[i+4:])))
		}
		s.in = s.in[:1]
	case opResize, opReshape:
		s.in = s.in[:1] // the size is that of the result
	case opClip, opSigmoid:
	default:
		return fmt.Errorf("read the network: operation %d is not known", s.kind)
	}
	s.clipped = activation == clip
	if activation != clip && activation != none {
		return fmt.Errorf("read the network: activation %d is not known", activation)
	}
	return nil
}

// check makes sure that the operands are as the kernels will be told.
func (s *step) check(g *graph) error {
	if s.kind == opConv || s.kind == opDepthwise {
		f, bias := &g.tensors[s.in[1]], &g.tensors[s.in[2]]
		if len(f.shape) != 4 || len(f.half) != 2*f.size() || len(bias.half) != 2*bias.size() || s.stride < 1 {
			return fmt.Errorf("read the network: a filter of shape %v is not whole", f.shape)
		}
	}
	return nil
}

// data returns the bytes a constant tensor holds.
func (r *graphReader) data(tensor int) []byte {
	return r.buffers[r.meta[tensor].int32Field(2)].bytes(0)
}
