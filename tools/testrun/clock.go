package main

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
)

// timeWord is this command's own first argument when `go test -exec` starts a test binary
// through it.
const timeWord = "-processor-time"

// timedLine begins the line that tells the processor time of a test binary.
const timedLine = "processor time of the package: "

// timed runs a test binary and prints the processor time of it and of every process it
// waited for: on a busy machine the only time that can be compared.
func timed(args []string) int {
	cmd := exec.Command(args[0], args[1:]...)
	cmd.Stdin, cmd.Stdout, cmd.Stderr = os.Stdin, os.Stdout, os.Stderr
	err := cmd.Run()
	if cmd.ProcessState != nil {
		used := cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
		fmt.Printf("\n%s%.1f\n", timedLine, used.Seconds())
	}
	var exit *exec.ExitError
	switch {
	case errors.As(err, &exit) && exit.ExitCode() > 0:
		return exit.ExitCode()
	case err != nil:
		fmt.Fprintln(os.Stderr, "testrun:", err)
		return 1
	}
	return 0
}

// took is how long a package or a test took, in s; processor is 0 for a test.
type took struct {
	name            string
	wall, processor float64
}

// clock keeps what took long.
type clock struct {
	processor       map[string]float64 // by package
	packages, tests []took
}

// line takes the line of timed out of a package's output and says whether it was that.
func (c *clock) line(e event) bool {
	text, ok := strings.CutPrefix(e.Output, timedLine)
	if !ok {
		return false
	}
	if s, err := strconv.ParseFloat(strings.TrimSpace(text), 64); err == nil {
		if c.processor == nil {
			c.processor = map[string]float64{}
		}
		c.processor[e.Package] = s
	}
	return true
}

// ended notes a package or a test of the top level that ended.
func (c *clock) ended(e event) {
	switch {
	case e.Test == "":
		c.packages = append(c.packages, took{e.Package, e.Elapsed, c.processor[e.Package]})
	case !strings.Contains(e.Test, "/"):
		c.tests = append(c.tests, took{name: e.Package + " " + e.Test, wall: e.Elapsed})
	}
}

// print shows what took longest.
func (c *clock) print() {
	slices.SortFunc(c.packages, func(a, b took) int { return cmp.Compare(b.processor, a.processor) })
	slices.SortFunc(c.tests, func(a, b took) int { return cmp.Compare(b.wall, a.wall) })
	fmt.Println("longest packages: seconds by the clock, seconds of processor")
	var sum float64
	for i, p := range c.packages {
		sum += p.processor
		if i < 10 {
			fmt.Printf("%7.1f %7.1f  %s\n", p.wall, p.processor, p.name)
		}
	}
	fmt.Printf("        %7.1f  all packages\n", sum)
	fmt.Println("longest tests: seconds by the clock")
	for _, t := range c.tests[:min(20, len(c.tests))] {
		fmt.Printf("%7.1f  %s\n", t.wall, t.name)
	}
}
