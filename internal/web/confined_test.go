package web

import (
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

// smallApp is a data folder with one swimmer, in a folder with a file beside it that no page
// may reach.
func smallApp(t testing.TB) (app *poolside.App, swimmer, around string) {
	t.Helper()
	around = t.TempDir()
	if err := os.WriteFile(filepath.Join(around, "secret.txt"), []byte("root:canary"), 0o600); err != nil {
		t.Fatal(err)
	}
	app, err := poolside.Open(t.Context(), poolside.Options{DataDir: filepath.Join(around, "data"), NoGuess: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := app.Close(); err != nil {
			t.Error(err)
		}
	})
	squad, err := app.AddSquad(t.Context(), record.Squad{Name: "Quiet Lane"})
	if err == nil {
		swimmer, _, err = app.AddSwimmer(t.Context(), record.Swimmer{SquadID: squad, Name: "Ada Quist", BirthYear: 1990})
	}
	if err != nil {
		t.Fatal(err)
	}
	return app, swimmer, around
}

// listening serves an app's pages and returns their address.
func listening(t *testing.T, app *poolside.App) string {
	t.Helper()
	pages, err := New(Options{App: app})
	if err != nil {
		t.Fatal(err)
	}
	srv := httptest.NewServer(pages)
	t.Cleanup(srv.Close)
	return srv.Listener.Addr().String()
}

// evilNames are names that lead elsewhere on some system.
var evilNames = []string{
	"..", "../..", "../../secret.txt", "..%2f..%2fsecret.txt", "%2e%2e%2f%2e%2e%2fsecret.txt", "..%5c..%5csecret.txt", `..\..\secret.txt`, "%2fetc%2fpasswd", "%2Fetc%2Fpasswd.jpg", "C:%5csecret.txt", "%5c%5chost%5cshare",
	"%00", "w1%00.jpg", "secret.txt%00.jpg", "CON", "nul.jpg", "aux", "COM1.json", "secret.txt", "%c0%ae%c0%ae%c0%afsecret.txt", "....%2f%2fsecret.txt", "%252e%252e%252fsecret.txt", "file:%2f%2f%2fetc%2fpasswd", strings.Repeat("a", 4000),
}

// TestNoNameReachesAFileOutside puts names that lead elsewhere into every address that takes
// one, byte by byte, on a real data folder.
func TestNoNameReachesAFileOutside(t *testing.T) {
	app, _, around := smallApp(t)
	at := listening(t, app)
	before := tree(t, around)
	asked := 0
	for _, pattern := range append(routes(t, "GET"), "/static/{x}", "/{x}") {
		places := inPath.FindAllStringIndex(pattern, -1)
		for _, place := range places {
			if strings.Contains(pattern[place[0]:], "{$}") {
				continue
			}
			for _, name := range evilNames {
				path := filled(pattern[:place[0]], "x") + name + filled(pattern[place[1]:], "x")
				resp, body := raw(t, at, fmt.Sprintf("GET %s HTTP/1.1\r\nHost: %s\r\nConnection: close\r\n\r\n", path, at))
				asked++
				if resp.StatusCode == 200 || resp.StatusCode >= 500 || strings.Contains(body, "root:") {
					t.Errorf("%.120s is answered %d", path, resp.StatusCode)
				}
			}
		}
	}
	if after := tree(t, around); after != before {
		t.Errorf("asking changed the files:\n%s\nwas\n%s", after, before)
	}
	t.Logf("%d addresses", asked)
}

// tree lists the files beside the data folder, and the folders within it.
func tree(t testing.TB, dir string) string {
	t.Helper()
	var list []string
	err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if inside := strings.HasPrefix(path, filepath.Join(dir, "data")+string(os.PathSeparator)); !inside || d.IsDir() {
			list = append(list, path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(list, "\n")
}

// TestAClipsNameIsNoPath brings in files under names that lead elsewhere.
func TestAClipsNameIsNoPath(t *testing.T) {
	app, swimmer, around := smallApp(t)
	at := listening(t, app)
	outside := func() string {
		var list []string
		for _, line := range strings.Split(tree(t, around), "\n") {
			if !strings.HasPrefix(line, filepath.Join(around, "data")) {
				list = append(list, line)
			}
		}
		return strings.Join(list, "\n")
	}
	before := outside()
	for i, name := range []string{"../../x.mp4", `..\..\x.mp4`, "/etc/x.mp4", `C:\x.mp4`, "CON", "NUL.mp4", "..", ".", " ", "x\x00.mp4", "a/../../x.mp4", strings.Repeat("long", 1000) + ".mp4", "\u202e4pm.exe"} {
		body, kind := clipForm(t, swimmer, name, fmt.Sprintf("\x00\x00\x00\x18ftypmp42\x00\x00\x00\x00mp42isom film %d", i))
		if resp, text := postBody(t, visitor(t, "127.0.0.1"), "http://"+at+"/bring-in", body, kind); resp.StatusCode >= 500 && resp.StatusCode != http.StatusServiceUnavailable {
			t.Errorf("%.40q: %d %s", name, resp.StatusCode, text)
		}
	}
	if after := outside(); after != before {
		t.Errorf("files outside the data folder:\n%s\nwere\n%s", after, before)
	}
}

// clipForm is the form of a clip whose file has any name.
func clipForm(t *testing.T, swimmer, name, film string) (body, kind string) {
	t.Helper()
	var b strings.Builder
	form := multipart.NewWriter(&b)
	for k, v := range map[string]string{"swimmer": swimmer, "on": "2026-05-03", "pool": "Old Baths"} {
		if err := form.WriteField(k, v); err != nil {
			t.Fatal(err)
		}
	}
	part, err := form.CreateFormFile("clip", name)
	if err == nil {
		_, err = io.WriteString(part, film)
	}
	if err := errors.Join(err, form.Close()); err != nil {
		t.Fatal(err)
	}
	return b.String(), form.FormDataContentType()
}
