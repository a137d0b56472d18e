package network

import (
	"context"
	"errors"
	"strings"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
)

const (
	pageBytes = 64 << 10
	maxHeap   = 1 << 30 // bytes; about 130 MB are used
)

// errKernels is what a call ends with when the kernels give up.
var errKernels = errors.New("the kernels stopped")

// messages collects what an instance writes to its standard error, which it
// does only when something is wrong.
type messages struct{ text strings.Builder }

type messagesKey struct{}

// addHost gives the runtime the seven functions that the kernels import.
func addHost(ctx context.Context, rt wazero.Runtime) error {
	env := rt.NewHostModuleBuilder("env")
	env.NewFunctionBuilder().WithFunc(func() { panic(errKernels) }).Export("abort")
	env.NewFunctionBuilder().WithFunc(func(_ context.Context, m api.Module, to, from, n uint32) {
		b, ok := m.Memory().Read(from, n)
		if !ok || !m.Memory().Write(to, b) {
			panic(errKernels)
		}
	}).Export("emscripten_memcpy_big")
	env.NewFunctionBuilder().WithFunc(func() uint32 { return maxHeap }).Export("emscripten_get_heap_max")
	env.NewFunctionBuilder().WithFunc(resizeHeap).Export("emscripten_resize_heap")
	if _, err := env.Instantiate(ctx); err != nil {
		return err
	}
	const noSuchFile = 8
	wasi := rt.NewHostModuleBuilder("wasi_snapshot_preview1")
	wasi.NewFunctionBuilder().WithFunc(func(uint32) uint32 { return noSuchFile }).Export("fd_close")
	wasi.NewFunctionBuilder().WithFunc(func(_, _, _, _, _ uint32) uint32 { return noSuchFile }).Export("fd_seek")
	wasi.NewFunctionBuilder().WithFunc(writeMessage).Export("fd_write")
	_, err := wasi.Instantiate(ctx)
	return err
}

func resizeHeap(_ context.Context, m api.Module, want uint32) uint32 {
	have := m.Memory().Size()
	if want <= have {
		return 1
	}
	if want > maxHeap {
		return 0
	}
	if _, ok := m.Memory().Grow((want - have + pageBytes - 1) / pageBytes); !ok {
		return 0
	}
	return 1
}

// writeMessage is fd_write: it gathers count pieces at list, whose addresses
// and lengths stand there in pairs.
func writeMessage(ctx context.Context, m api.Module, _, list, count, written uint32) uint32 {
	mem, total := m.Memory(), uint32(0)
	for i := range count {
		at, _ := mem.ReadUint32Le(list + 8*i)
		n, _ := mem.ReadUint32Le(list + 8*i + 4)
		if b, ok := mem.Read(at, n); ok {
			if out, ok := ctx.Value(messagesKey{}).(*messages); ok && out.text.Len() < 4096 {
				out.text.Write(b)
			}
		}
		total += n
	}
	mem.WriteUint32Le(written, total)
	return 0
}
