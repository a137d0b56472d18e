package film

import (
	"bytes"
	"context"
	"io"
	"os/exec"
	"strings"
	"time"
)

// waitDelay is how long a killed process may keep its pipes open.
const waitDelay = 2 * time.Second

// A run is one child process to be: which program, with what, on which files.
type run struct {
	what    string // operation, for errors
	program string // "ffmpeg" or "ffprobe"
	in, out string // files it may read and write
	args    []string
	stdin   io.Reader         // nil = nothing to read
	onLine  func(line string) // called for each line of its log, from one goroutine; may be nil
}

// A process is a running child whose standard output is being read.
type process struct {
	what    string
	cmd     *exec.Cmd
	stdout  io.ReadCloser
	tail    *logTail
	logDone chan struct{} // closed when the log has ended
	cancel  context.CancelFunc
	ctx     context.Context
}

// start runs r with its standard output piped to us. The process is killed
// when ctx ends.
func (e *Engine) start(ctx context.Context, r run) (*process, error) {
	inner, cancel := context.WithCancel(ctx)
	cmd, err := e.tool.command(inner, r.program, r.in, r.out, r.args)
	if err != nil {
		cancel()
		return nil, &processError{r.what, err, ""}
	}
	cmd.Stdin = r.stdin
	cmd.WaitDelay = waitDelay
	p := &process{what: r.what, cmd: cmd, tail: &logTail{}, logDone: make(chan struct{}), cancel: cancel, ctx: ctx}
	if p.stdout, err = cmd.StdoutPipe(); err == nil {
		var stderr io.ReadCloser
		if stderr, err = cmd.StderrPipe(); err == nil {
			if err = cmd.Start(); err == nil {
				go p.readLog(stderr, r.onLine)
				context.AfterFunc(inner, func() { p.letGo(stderr) })
				e.log.Debug("film process", "what", r.what, "pid", cmd.Process.Pid)
				return p, nil
			}
		}
	}
	cancel()
	return nil, &processError{r.what, err, ""}
}

// letGo closes our ends of the pipes some time after the process was killed or
// has ended: a child of its own (where ffmpeg is a script) may hold the others
// open for ever.
func (p *process) letGo(stderr io.Closer) {
	time.AfterFunc(waitDelay, func() {
		_ = p.stdout.Close() // usually closed already
		_ = stderr.Close()
	})
}

func (p *process) readLog(stderr io.Reader, onLine func(string)) {
	defer close(p.logDone)
	lines := newLineReader(stderr, maxLogLine)
	for {
		line, ok := lines.next()
		if !ok {
			return
		}
		p.tail.add(line)
		if onLine != nil {
			onLine(line)
		}
	}
}

// stop kills the process, if it still runs, and waits for its end; it is for
// when we have what we wanted, so how it ended does not matter.
func (p *process) stop() {
	p.cancel()
	_ = p.wait()
}

// wait reads the rest of the output and returns how the process ended: nil,
// the context's error when that ended it, or a *processError.
func (p *process) wait() error {
	_, _ = io.Copy(io.Discard, p.stdout) // else the process may block on a full pipe
	<-p.logDone
	err := p.cmd.Wait()
	p.cancel()
	if err == nil {
		return nil
	}
	if ctxErr := p.ctx.Err(); ctxErr != nil {
		return ctxErr
	}
	return &processError{p.what, err, p.tail.String()}
}

// output runs r to its end and returns what it wrote, at most limit bytes.
func (e *Engine) output(ctx context.Context, r run, limit int64) ([]byte, error) {
	p, err := e.start(ctx, r)
	if err != nil {
		return nil, err
	}
	var buf bytes.Buffer
	_, err = io.Copy(&buf, io.LimitReader(p.stdout, limit))
	if err != nil {
		p.stop()
		return nil, &processError{r.what, err, ""}
	}
	return buf.Bytes(), p.wait()
}

// logTail keeps the last lines of a log that could explain a failure.
type logTail struct {
	lines []string
	size  int
}

func (t *logTail) add(line string) {
	if strings.Contains(line, "Parsed_showinfo") || strings.TrimSpace(line) == "" {
		return
	}
	if len(line) > 400 {
		line = line[:400] + "..."
	}
	t.lines = append(t.lines, strings.TrimSpace(line))
	t.size += len(line)
	for t.size > maxLogTail && len(t.lines) > 1 {
		t.size -= len(t.lines[0])
		t.lines = t.lines[1:]
	}
}

// String returns the last lines, at most six, joined by " / ".
func (t *logTail) String() string {
	return strings.Join(t.lines[max(0, len(t.lines)-6):], " / ")
}

// lineReader splits a log into lines of any length, keeping only the first
// limit bytes of each: single lines of ffmpeg can be dumps of many kilobytes.
type lineReader struct {
	r     io.Reader
	buf   []byte // read, not yet used
	chunk [32 << 10]byte
	line  []byte
	limit int
	eof   bool
}

func newLineReader(r io.Reader, limit int) *lineReader { return &lineReader{r: r, limit: limit} }

// next returns the next line without its end; false after the last one.
// Carriage returns count as line ends too.
func (l *lineReader) next() (string, bool) {
	l.line = l.line[:0]
	for {
		if i := bytes.IndexAny(l.buf, "\r\n"); i >= 0 {
			l.keep(l.buf[:i])
			l.buf = l.buf[i+1:]
			return string(l.line), true
		}
		l.keep(l.buf)
		l.buf = nil
		if l.eof {
			return string(l.line), len(l.line) > 0
		}
		n, err := l.r.Read(l.chunk[:])
		l.buf = l.chunk[:n]
		l.eof = err != nil
	}
}

func (l *lineReader) keep(b []byte) {
	l.line = append(l.line, b[:min(len(b), max(0, l.limit-len(l.line)))]...)
}
