package cli

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"regexp"
	"strings"

	"underkick/internal/door"
	"underkick/internal/poolside"
)

// Exit codes, by cause.
const (
	exitOK       = 0 // done
	exitFailed   = 1 // something failed on the way
	exitUsage    = 2 // the command line is wrong
	exitInput    = 3 // a file given cannot be used
	exitExternal = 4 // a program of the system is missing
	exitLocked   = 5 // another underkick has the data folder
)

const exitCodesHelp = `Exit codes: 0 done, 1 failed, 2 wrong command line, 3 input cannot be used,
4 a program of the system is missing, 5 data folder in use by another underkick.`

// streams are a command's standard streams, and the pages it may serve.
type streams struct {
	in       io.Reader
	out, err io.Writer
	pages    Pages
	curtain  *curtain // before out and err; hides names once it is drawn
}

// command is one verb of the command line.
type command struct {
	name  string
	usage string // after "underkick "
	brief string // one line for the list
	run   func(ctx context.Context, args []string, s streams) error
}

// Pages makes the handler of the pages; package web does it, one door beside this
// one, so whoever wires both hands it over. With lan they are the phone pages;
// else all pages, which ask for a session when keys is not nil.
type Pages func(app *poolside.App, log *slog.Logger, keys *door.Keys, lan *door.LAN) (http.Handler, error)

// commands lists every verb in the order of the help page.
func commands() []command {
	return []command{demoCommand(), serveCommand(), passphraseCommand(), probeCommand(), measureCommand(), guessCommand(), evaluateCommand(), worthCommand(), markersCommand(), practiceCommand(), wallCommand(), tempoLadderCommand(), filmCardCommand(), lessonCommand(), sheetCommand(), stillsCommand(), squadCommand(), retestCommand(), consentCommand(), growthCommand(), goalCommand(), putRightCommand(), namesCommand(), dueCommand(), compareCommand(), backupCommand(), restoreCommand(), exportCommand(), exportClipCommand(), eraseCommand(), versionCommand()}
}

// Run executes the command line args (without the program's name) and returns
// the exit code.
func Run(ctx context.Context, args []string, in io.Reader, out, errOut io.Writer, pages Pages) int {
	s := new(curtain).behind(streams{in: in, out: out, err: errOut, pages: pages})
	if len(args) == 0 {
		fmt.Fprint(errOut, helpText())
		return exitUsage
	}
	switch args[0] {
	case "help", "-h", "-help", "--help":
		if len(args) > 1 {
			return Run(ctx, []string{args[1], "--help"}, in, out, errOut, pages)
		}
		fmt.Fprint(out, helpText())
		return exitOK
	}
	for _, c := range commands() {
		if c.name == args[0] {
			code := exitCode(c, c.run(ctx, args[1:], s), s)
			if err := s.curtain.flush(); err != nil {
				return max(code, exitFailed)
			}
			return code
		}
	}
	fmt.Fprintf(errOut, "underkick: there is no command %q. `underkick help` lists them.\n", args[0])
	return exitUsage
}

func helpText() string {
	var b strings.Builder
	b.WriteString("underkick measures underwater dolphin kicking from side-view film.\n\nCommands:\n")
	for _, c := range commands() {
		fmt.Fprintf(&b, "  %-13s %s\n", c.name, c.brief)
	}
	b.WriteString("\n`underkick COMMAND --help` explains one command.\n" + exitCodesHelp + "\n")
	return b.String()
}

// usageError is a wrong command line; its text goes to the user with a hint.
type usageError struct{ text string }

func (e usageError) Error() string { return e.text }

func usagef(format string, args ...any) error {
	return usageError{fmt.Sprintf(format, args...)}
}

// exitCode prints what a command's error says and turns it into a code.
func exitCode(c command, err error, s streams) int {
	if err == nil || errors.Is(err, flag.ErrHelp) {
		return exitOK
	}
	var usage usageError
	if errors.As(err, &usage) {
		fmt.Fprintf(s.err, "underkick %s: %s\n`underkick %s --help` explains the options.\n", c.name, usage.text, c.name)
		return exitUsage
	}
	if errors.Is(err, context.Canceled) {
		fmt.Fprintf(s.err, "underkick %s: stopped; nothing was left half-written.\n", c.name)
		return exitFailed
	}
	fmt.Fprintf(s.err, "underkick %s: %v\n", c.name, err)
	return codeOf(err)
}

// flags is a flag set whose options may stand before or after the file names.
type flags struct {
	*flag.FlagSet
	c command
	s streams
}

func newFlags(c command, s streams) *flags {
	f := &flags{FlagSet: flag.NewFlagSet(c.name, flag.ContinueOnError), c: c, s: s}
	f.SetOutput(io.Discard) // parse reports through our own error
	return f
}

// oneDash finds options as package flag writes them.
var oneDash = regexp.MustCompile(`((?:flag:?|defined:|argument:) )-([a-z])`)

// parse reads args and returns the file names among them. --help prints the
// help to standard output and returns flag.ErrHelp.
func (f *flags) parse(args []string, explain string) ([]string, error) {
	var names []string
	for {
		err := f.Parse(args)
		if errors.Is(err, flag.ErrHelp) {
			f.help(explain)
			return nil, flag.ErrHelp
		}
		if err != nil {
			return nil, usageError{oneDash.ReplaceAllString(err.Error(), "$1--$2")}
		}
		if f.NArg() == 0 {
			return names, nil
		}
		// "--" ends the options: everything after it is a file name.
		if stop := len(args) - f.NArg() - 1; stop >= 0 && args[stop] == "--" {
			return append(names, f.Args()...), nil
		}
		names = append(names, f.Arg(0))
		args = f.Args()[1:]
	}
}

func (f *flags) help(explain string) {
	fmt.Fprintf(f.s.out, "underkick %s\n\n%s\n\nOptions:\n", f.c.usage, strings.TrimSpace(explain))
	f.VisitAll(func(o *flag.Flag) {
		kind, text := flag.UnquoteUsage(o)
		if kind != "" {
			kind = " " + kind
		}
		fmt.Fprintf(f.s.out, "  --%s%s\n        %s%s\n", o.Name, kind, text, defaultText(o))
	})
	fmt.Fprintf(f.s.out, "\n%s\n", exitCodesHelp)
}

func defaultText(o *flag.Flag) string {
	switch o.DefValue {
	case "", "0", "false":
		return ""
	}
	return " (default " + o.DefValue + ")"
}

// writeJSON writes v indented.
func writeJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	if err := e.Encode(v); err != nil {
		return fmt.Errorf("write JSON: %w", err)
	}
	return nil
}
