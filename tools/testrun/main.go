// Command testrun runs `go test -json` with the arguments after --, prints what
// failed, one line per package and what took longest, and fails when a test failed or was
// skipped. With -skips before the -- a skipped test is no failure.
package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strings"
)

// keepEnv names the folder where packages leave what others of this run can use: see
// internal/demo/demotest.
const keepEnv = "UNDERKICK_TEST_KEEP"

// event is one line of `go test -json`.
type event struct {
	Action, Package, Test, Output string
	Elapsed                       float64 // s
}

func main() {
	args := os.Args[1:]
	if len(args) > 1 && args[0] == timeWord {
		os.Exit(timed(args[1:]))
	}
	skips := len(args) > 0 && args[0] == "-skips"
	if skips {
		args = args[1:]
	}
	if len(args) > 0 && args[0] == "--" {
		args = args[1:]
	}
	os.Exit(run(args, skips))
}

func run(args []string, skips bool) int {
	self, err := os.Executable()
	if err != nil {
		fmt.Fprintln(os.Stderr, "testrun:", err)
		return 1
	}
	keep, err := os.MkdirTemp("", "testrun-")
	if err != nil {
		fmt.Fprintln(os.Stderr, "testrun:", err)
		return 1
	}
	defer os.RemoveAll(keep)
	args = insertFlags(args, "-json", "-exec="+self+" "+timeWord)
	cmd := exec.Command("go", args...)
	cmd.Env = append(os.Environ(), keepEnv+"="+keep)
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	if err != nil {
		fmt.Fprintln(os.Stderr, "testrun:", err)
		return 1
	}
	if err := cmd.Start(); err != nil {
		fmt.Fprintln(os.Stderr, "testrun:", err)
		return 1
	}
	t := newTally(skips)
	lines := bufio.NewScanner(out)
	lines.Buffer(nil, 16<<20)
	for lines.Scan() {
		t.line(lines.Bytes())
	}
	scanErr, waitErr := lines.Err(), cmd.Wait()
	t.close()
	if scanErr != nil {
		fmt.Fprintln(os.Stderr, "testrun: reading the test output:", scanErr)
		return 1
	}
	if waitErr != nil || t.failed > 0 || len(t.skipped) > 0 && !skips || t.passed == 0 {
		return 1
	}
	return 0
}

// insertFlags turns "-C DIR flags packages" into "test -C DIR more flags packages".
func insertFlags(args []string, more ...string) []string {
	if len(args) >= 2 && args[0] == "-C" {
		return slices.Concat([]string{"test", "-C", args[1]}, more, args[2:])
	}
	return slices.Concat([]string{"test"}, more, args)
}

// tally counts outcomes and keeps the output of tests still running.
type tally struct {
	passed, failed int
	skipped        []string
	quiet          bool // about what was skipped
	output         map[string]*strings.Builder
	clock          clock
}

func newTally(quiet bool) *tally {
	return &tally{quiet: quiet, output: map[string]*strings.Builder{}}
}

func (t *tally) line(raw []byte) {
	var e event
	if err := json.Unmarshal(raw, &e); err != nil {
		fmt.Printf("%s\n", raw) // a build error is not JSON
		return
	}
	if e.Test == "" {
		t.packageLine(e)
		return
	}
	key := e.Package + " " + e.Test
	switch e.Action {
	case "output":
		if t.output[key] == nil {
			t.output[key] = &strings.Builder{}
		}
		t.output[key].WriteString(e.Output)
	case "pass":
		t.passed++
		t.clock.ended(e)
		delete(t.output, key)
	case "fail":
		t.failed++
		t.clock.ended(e)
		t.print(key)
	case "skip":
		t.skipped = append(t.skipped, key)
		if t.quiet {
			delete(t.output, key)
		} else {
			t.print(key)
		}
	}
}

// packageLine shows what go test itself says of a package and of a broken build.
func (t *tally) packageLine(e event) {
	if t.clock.line(e) || e.Output == "\n" {
		return
	}
	if e.Action == "pass" || e.Action == "fail" {
		t.clock.ended(e)
	}
	if (e.Action == "output" || e.Action == "build-output") && e.Output != "PASS\n" {
		fmt.Print(e.Output)
	}
}

func (t *tally) print(key string) {
	if b := t.output[key]; b != nil {
		fmt.Print(b.String())
		delete(t.output, key)
	}
}

func (t *tally) close() {
	for key := range t.output { // a test that was running when its process died
		t.print(key)
	}
	t.clock.print()
	if len(t.skipped) > 0 && !t.quiet {
		fmt.Println("skipped, which fails the run (is Chromium or ffmpeg missing?):")
		for _, s := range t.skipped {
			fmt.Println("  " + s)
		}
	}
	fmt.Printf("%d passed, %d failed, %d skipped\n", t.passed, t.failed, len(t.skipped))
}
