package network

import (
	"context"
	"encoding/json"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

// opened is the network, compiled once for all tests of the package.
var opened = sync.OnceValues(func() (*Net, error) {
	dir := filepath.Join(os.TempDir(), "underkick-test-network")
	return Open(context.Background(), dir)
})

func openNet(t *testing.T) *Net {
	t.Helper()
	n, err := opened()
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// readPicture returns a picture's pixels as Run takes them.
func readPicture(t *testing.T, path string) []float32 {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = f.Close() }() // read only
	img, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	out := make([]float32, 0, Side*Side*3)
	for y := range Side {
		for x := range Side {
			r, g, b, _ := img.At(x, y).RGBA()
			for _, v := range [...]uint32{r, g, b} {
				out = append(out, float32(v>>8)/255)
			}
		}
	}
	return out
}

func closeWorker(t testing.TB, w *Worker) {
	if err := w.Close(context.Background()); err != nil {
		t.Error(err)
	}
}

// TestRunGivesTheReferencePoints compares with another implementation and
// another conversion of the same network: the published TensorFlow.js graph
// computed by the plain JavaScript kernels of @tensorflow/tfjs-backend-cpu
// 4.22.0 in Node (testdata/README.md). The two files round the weights to 16
// bits in different ways, so single points may differ by more than rounding:
// a thousandth of the picture's side, a quarter of a pixel, is allowed.
func TestRunGivesTheReferencePoints(t *testing.T) {
	text, err := os.ReadFile("testdata/swimmer.json")
	if err != nil {
		t.Fatal(err)
	}
	var want [Points][3]float64 // x, y, visible
	if err := json.Unmarshal(text, &want); err != nil {
		t.Fatal(err)
	}
	n := openNet(t)
	w, err := n.Worker(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	defer closeWorker(t, w)
	pixels := readPicture(t, "testdata/swimmer.png")
	defer func() {
		if n := w.mod.Memory().Size(); n != instanceBytes {
			t.Errorf("an instance has %d MB, not the %d it was given", n>>20, instanceBytes>>20)
		}
	}()
	var first [Points]Point
	for round := range 2 {
		got, err := w.Run(t.Context(), pixels)
		if err != nil {
			t.Fatal(err)
		}
		if round == 0 {
			first = got
		} else if got != first {
			t.Error("the same picture gives other points the second time")
		}
	}
	const bodyPoints = 33
	for k := range bodyPoints {
		if d := math.Hypot(first[k].X-want[k][0], first[k].Y-want[k][1]); !(d < Side*1e-3) {
			t.Errorf("point %d at (%.3f, %.3f), want (%.3f, %.3f)", k, first[k].X, first[k].Y, want[k][0], want[k][1])
		}
		if d := math.Abs(first[k].Visible - want[k][2]); !(d < 2e-3) {
			t.Errorf("point %d visible %.4f, want %.4f", k, first[k].Visible, want[k][2])
		}
	}
}

// TestTensorsInUseNeverShareTheirPlace replays the graph: a tensor's place is
// not written between its making and its last use.
func TestTensorsInUseNeverShareTheirPlace(t *testing.T) {
	n := openNet(t)
	g, plan := n.graph, n.plan
	last := map[int]int{g.output: len(g.steps)}
	for i, s := range g.steps {
		for _, in := range s.in {
			last[in] = max(last[in], i)
		}
	}
	live := []int{g.input}
	for i, s := range g.steps {
		for _, other := range live {
			if last[other] < i {
				continue
			}
			a, b := plan.offset[s.out], plan.offset[other]
			if a < b+4*g.tensors[other].size() && b < a+4*g.tensors[s.out].size() {
				t.Fatalf("step %d writes tensor %d over tensor %d", i, s.out, other)
			}
		}
		live = append(live, s.out)
	}
	if plan.total > 64<<20 {
		t.Errorf("the layout takes %d MB", plan.total>>20)
	}
}

func TestDamagedFilesAreRefused(t *testing.T) {
	if _, err := unpack(packedKernels, WeightsSHA256, kernelsSize); err == nil || !strings.Contains(err.Error(), "damaged") {
		t.Errorf("wrong sum: %v", err)
	}
	if _, err := unpack(packedKernels[:1000], KernelsSHA256, kernelsSize); err == nil {
		t.Error("half a file was unpacked")
	}
	weights, err := unpack(packedWeights, WeightsSHA256, weightsSize)
	if err != nil {
		t.Fatal(err)
	}
	for _, size := range []int{0, 3, 100, 5000, len(weights) / 2} {
		if _, err := parseGraph(weights[:size], Points*valuesPerPoint); err == nil {
			t.Errorf("%d bytes of the network were read as a whole one", size)
		}
	}
	if _, err := parseGraph(weights, 7); err == nil {
		t.Error("an output of 7 values was found")
	}
}

// TestHalfFloat checks single values of IEEE 754-2008 binary16.
func TestHalfFloat(t *testing.T) {
	for bits, want := range map[uint16]float64{
		0x0000: 0, 0x3c00: 1, 0xc000: -2, 0x3555: 0.333251953125, 0x7bff: 65504,
		0x0001: math.Ldexp(1, -24), 0x03ff: math.Ldexp(1023, -24), 0x0400: math.Ldexp(1, -14),
		0x7c00: math.Inf(1), 0xfc00: math.Inf(-1),
	} {
		if got := float64(halfFloat(bits)); got != want {
			t.Errorf("%#04x is %g, want %g", bits, got, want)
		}
	}
	if !math.Signbit(float64(halfFloat(0x8000))) || !math.IsNaN(float64(halfFloat(0x7e00))) {
		t.Error("minus zero or NaN is lost")
	}
}

func TestOldVersionsAreRemoved(t *testing.T) {
	cache := t.TempDir()
	older := filepath.Join(cache, "network", "older")
	if err := os.MkdirAll(older, 0o700); err != nil {
		t.Fatal(err)
	}
	if _, err := prepare(cache); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(older); !os.IsNotExist(err) {
		t.Errorf("an older version's folder is still there: %v", err)
	}
}

func BenchmarkRun(b *testing.B) {
	n, err := opened()
	if err != nil {
		b.Fatal(err)
	}
	w, err := n.Worker(b.Context())
	if err != nil {
		b.Fatal(err)
	}
	defer closeWorker(b, w)
	pixels := make([]float32, Side*Side*3)
	for b.Loop() {
		if _, err := w.Run(b.Context(), pixels); err != nil {
			b.Fatal(err)
		}
	}
}
