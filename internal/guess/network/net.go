package network

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"runtime"

	"github.com/tetratelabs/wazero"

	"underkick/internal/disk"
)

// Side is the width and height of the network's picture, px.
const Side = 256

// Points is how many points the network gives; the last six are no body points.
const Points = 39

const valuesPerPoint = 5

// Point is one point as the network sees it.
type Point struct {
	X, Y    float64 // px of its picture, from the top-left corner
	Visible float64 // its own belief that the point is not hidden, 0 to 1
	Present float64 // its own belief that the point is in the picture, 0 to 1
}

// ErrUnsupported is returned on machines for which there is no compiler; an
// interpreted network would take minutes a frame.
var ErrUnsupported = errors.New("the guess does not run on this kind of machine")

// Supported reports whether the network can be run on this machine.
func Supported() bool {
	switch runtime.GOOS {
	case "linux", "darwin", "windows", "freebsd", "netbsd":
		return runtime.GOARCH == "amd64" || runtime.GOARCH == "arm64"
	}
	return false
}

// Net is the network, unpacked and compiled. It is safe for concurrent use.
type Net struct {
	rt    wazero.Runtime
	code  wazero.CompiledModule
	graph *graph
	plan  layout
}

// Open unpacks the network and compiles its kernels; what was compiled is kept
// in cacheDir for the next time.
func Open(ctx context.Context, cacheDir string) (*Net, error) {
	if !Supported() {
		return nil, ErrUnsupported
	}
	weights, err := unpack(packedWeights, WeightsSHA256, weightsSize)
	if err != nil {
		return nil, err
	}
	g, err := parseGraph(weights, Points*valuesPerPoint)
	if err != nil {
		return nil, err
	}
	kernels, err := unpack(packedKernels, KernelsSHA256, kernelsSize)
	if err != nil {
		return nil, err
	}
	dir, err := prepare(cacheDir)
	if err != nil {
		return nil, err
	}
	cache, err := wazero.NewCompilationCacheWithDir(dir)
	if err != nil {
		return nil, fmt.Errorf("keep the network: %w", err)
	}
	rt := wazero.NewRuntimeWithConfig(ctx, wazero.NewRuntimeConfigCompiler().WithCompilationCache(cache))
	n := &Net{rt: rt, graph: g, plan: arrange(g)}
	if n.code, err = rt.CompileModule(ctx, kernels); err == nil {
		err = addHost(ctx, rt)
	}
	if err != nil {
		_ = rt.Close(ctx) // the first error is the one to tell
		return nil, fmt.Errorf("compile the network: %w", err)
	}
	return n, nil
}

// Close gives the memory back; workers must not be used afterwards.
func (n *Net) Close(ctx context.Context) error { return n.rt.Close(ctx) }

// prepare makes the folder for this version and removes those of others.
func prepare(cacheDir string) (string, error) {
	dir, err := disk.CompiledFolder(filepath.Join(cacheDir, "network"), KernelsSHA256)
	if err != nil {
		return "", fmt.Errorf("keep the network: %w", err)
	}
	return dir, nil
}
