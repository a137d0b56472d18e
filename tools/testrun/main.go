// Command testrun runs `go test -json` with the arguments after --, prints what
// failed and one line per package, and fails when a test failed or was skipped.
package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"strings"
)

// event is one line of `go test -json`.
type event struct {
	Action, Package, Test, Output string
}

func main() {
	args := os.Args[1:]
	if len(args) > 0 && args[0] == "--" {
		args = args[1:]
	}
	os.Exit(run(args))
}

func run(args []string) int {
	args = insertJSON(args)
	cmd := exec.Command("go", args...)
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
	t := newTally()
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
	if waitErr != nil || t.failed > 0 || len(t.skipped) > 0 || t.passed == 0 {
		return 1
	}
	return 0
}

// insertJSON turns "-C DIR flags packages" into "test -C DIR -json flags packages".
func insertJSON(args []string) []string {
	if len(args) >= 2 && args[0] == "-C" {
		return append([]string{"test", "-C", args[1], "-json"}, args[2:]...)
	}
	return append([]string{"test", "-json"}, args...)
}

// tally counts outcomes and keeps the output of tests still running.
type tally struct {
	passed, failed int
	skipped        []string
	output         map[string]*strings.Builder
}

func newTally() *tally { return &tally{output: map[string]*strings.Builder{}} }

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
		delete(t.output, key)
	case "fail":
		t.failed++
		t.print(key)
	case "skip":
		t.skipped = append(t.skipped, key)
		t.print(key)
	}
}

// packageLine shows what go test itself says of a package and of a broken build.
func (t *tally) packageLine(e event) {
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
	if len(t.skipped) > 0 {
		fmt.Println("skipped, which fails the run (is Chromium or ffmpeg missing?):")
		for _, s := range t.skipped {
			fmt.Println("  " + s)
		}
	}
	fmt.Printf("%d passed, %d failed, %d skipped\n", t.passed, t.failed, len(t.skipped))
}
