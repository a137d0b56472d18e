package press

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"underkick/internal/disk"
)

// ErrNoBrowser: no browser that can print was found.
var ErrNoBrowser = errors.New("no browser that can print a PDF is installed")

// names are what browsers of the family are called on the path.
var names = []string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "microsoft-edge", "microsoft-edge-stable", "msedge", "brave-browser", "brave", "vivaldi"}

// Find returns the program of a browser that can print: the one that UNDERKICK_BROWSER names,
// else the first on the path, else one in the usual places of the system. ErrNoBrowser says
// what to do when there is none.
func Find() (string, error) {
	if own := os.Getenv("UNDERKICK_BROWSER"); own != "" {
		path, err := exec.LookPath(own)
		if err != nil {
			return "", fmt.Errorf("%w: UNDERKICK_BROWSER names %s, which cannot be started (%w)", ErrNoBrowser, own, err)
		}
		return path, nil
	}
	for _, name := range names {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	for _, path := range usual() {
		if info, err := os.Stat(path); err == nil && !info.IsDir() {
			return path, nil
		}
	}
	return "", fmt.Errorf("%w; install Chromium, Chrome or Edge, or name one in UNDERKICK_BROWSER, or write the page with --html and print it from any browser", ErrNoBrowser)
}

// usual are the places in which systems keep browsers that are not on the path.
func usual() []string {
	switch runtime.GOOS {
	case "darwin":
		return []string{
			"/Applications/Google Chrome.app/Contents/MacOS/Google Chrome", "/Applications/Chromium.app/Contents/MacOS/Chromium",
			"/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
		}
	case "windows":
		var list []string
		for _, root := range []string{os.Getenv("ProgramFiles"), os.Getenv("ProgramFiles(x86)"), os.Getenv("LocalAppData")} {
			if root != "" {
				list = append(list, filepath.Join(root, `Google\Chrome\Application\chrome.exe`), filepath.Join(root, `Microsoft\Edge\Application\msedge.exe`), filepath.Join(root, `Chromium\Application\chrome.exe`))
			}
		}
		return list
	}
	return nil
}

// patience is how long a browser may take for one document.
const patience = 2 * time.Minute

// PDF prints a page, one self-contained HTML file, into a PDF file. The page sets the size of
// its paper. The browser gets a profile of its own that is deleted afterwards, and reaches no
// network. Nothing is left at pdf when it fails.
func PDF(ctx context.Context, html, pdf string) (err error) {
	browser, err := Find()
	if err != nil {
		return err
	}
	dir, err := os.MkdirTemp("", "underkick-print-")
	if err != nil {
		return fmt.Errorf("print: %w", err)
	}
	defer func() { err = errors.Join(err, clearAway(dir)) }()
	from, err := filepath.Abs(html)
	if err != nil {
		return fmt.Errorf("print: %w", err)
	}
	part := filepath.Join(dir, "page.pdf")
	ctx, done := context.WithTimeout(ctx, patience)
	defer done()
	cmd := exec.CommandContext(ctx, browser, arguments(dir, part, fileURL(from))...)
	cmd.WaitDelay = 5 * time.Second
	words, err := cmd.CombinedOutput()
	if err := ctx.Err(); err != nil {
		return fmt.Errorf("print with %s: %w", filepath.Base(browser), err)
	}
	text, readErr := os.ReadFile(part)
	if err == nil && readErr == nil && !strings.HasPrefix(string(text), "%PDF-") {
		readErr = errors.New("what it wrote is no PDF")
	}
	if err := errors.Join(err, readErr); err != nil {
		return fmt.Errorf("print with %s: %s: %w", filepath.Base(browser), lastLine(string(words)), err)
	}
	if err := disk.Write(pdf, text); err != nil {
		return fmt.Errorf("write the PDF: %w", err)
	}
	return nil
}

// arguments start a browser that prints one page and ends. The proxy that is none keeps every
// request but those of the file from leaving.
func arguments(dir, pdf, page string) []string {
	args := []string{
		"--headless", "--disable-gpu", "--no-first-run", "--no-default-browser-check", "--disable-extensions", "--disable-sync",
		"--disable-background-networking", "--disable-component-update", "--disable-quic", "--proxy-server=127.0.0.1:9",
		"--user-data-dir=" + filepath.Join(dir, "profile"), "--no-pdf-header-footer", "--virtual-time-budget=10000", "--print-to-pdf=" + pdf,
	}
	if runtime.GOOS == "linux" && os.Geteuid() == 0 {
		args = append(args, "--no-sandbox") // the sandbox refuses to start for root, as in a container
	}
	return append(args, page)
}

func fileURL(path string) string {
	path = filepath.ToSlash(path)
	if !strings.HasPrefix(path, "/") {
		path = "/" + path // a drive letter
	}
	return (&url.URL{Scheme: "file", Path: path}).String()
}

// clearAway deletes the browser's profile; its last helpers may still write into it for a moment.
func clearAway(dir string) error {
	var err error
	for range 20 {
		if err = os.RemoveAll(dir); err == nil {
			return nil
		}
		time.Sleep(50 * time.Millisecond)
	}
	return fmt.Errorf("print: clear away %s: %w", dir, err)
}

func lastLine(text string) string {
	lines := strings.Split(strings.TrimSpace(text), "\n")
	return lines[len(lines)-1]
}
