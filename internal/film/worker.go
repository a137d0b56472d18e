package film

import (
	"context"
	"fmt"
	"io"

	"underkick/internal/film/wasmengine"
)

// WorkerWord is the hidden first argument with which the program is started
// as worker of the embedded engine. A program that opens the embedded engine
// must begin with
//
//	if len(os.Args) > 1 && os.Args[1] == film.WorkerWord {
//		os.Exit(film.WorkerMain(os.Args[2:], os.Stdin, os.Stdout, os.Stderr))
//	}
//
// and so must the TestMain of tests that open it.
const WorkerWord = "_ffmpeg"

const helloAnswer = "underkick film worker " + wasmengine.Version + "\n"

// WorkerMain does the work of one worker process and returns its exit code.
// args are what follows WorkerWord: "hello", "warm DIR", or
// "run PROGRAM DIR IN OUT ARGUMENT..."; IN and OUT may be empty.
func WorkerMain(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	code, err := work(args, stdin, stdout, stderr)
	if err != nil {
		fmt.Fprintln(stderr, err)
		return 70
	}
	return code
}

func work(args []string, stdin io.Reader, stdout, stderr io.Writer) (int, error) {
	ctx := context.Background() // ends with the process
	switch {
	case len(args) == 1 && args[0] == "hello":
		_, err := io.WriteString(stdout, helloAnswer)
		return 0, err
	case len(args) == 2 && args[0] == "warm":
		return 0, wasmengine.Warm(ctx, args[1])
	case len(args) >= 5 && args[0] == "run" && (args[1] == "ffmpeg" || args[1] == "ffprobe"):
		return wasmengine.Run(ctx, wasmengine.Call{
			Program: args[1], CacheDir: args[2], In: args[3], Out: args[4], Args: args[5:],
			Stdin: stdin, Stdout: stdout, Stderr: stderr,
		})
	}
	return 0, fmt.Errorf("%s is for the program's own use", WorkerWord)
}
