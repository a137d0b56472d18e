package store

import (
	"archive/zip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"regexp"
)

// partName is what a part may be called: nothing that leads out of the folder.
var partName = regexp.MustCompile(`^(underkick\.db|clips/[0-9a-f]{64}\.[a-z0-9]{1,8})$`)

// maxManifest bounds what is read of a manifest: about 100,000 films.
const maxManifest = 32 << 20

func damaged(below error, format string, args ...any) error {
	return because(ErrBadBackup, below, "%s; nothing was changed. Copy the file again from where it was kept, or take another backup", fmt.Sprintf(format, args...))
}

// CheckBackup reads the backup at path whole and returns its manifest. The error
// wraps ErrBadBackup when a part is missing, too much or not as it was written,
// and ErrNewer when a newer version wrote it.
func CheckBackup(ctx context.Context, path string) (Manifest, error) {
	return checkBackup(ctx, path, nil)
}

func checkBackup(ctx context.Context, path string, tell func(BackupProgress)) (Manifest, error) {
	z, m, err := openBackup(path)
	if err != nil {
		return m, explain("check "+path, err)
	}
	defer func() { _ = z.Close() }() // read only: nothing to lose
	nowhereTold := m.told("reading back", tell, func(BackupPart) (io.WriteCloser, error) { return nowhere{}, nil })
	return m, explain("check "+path, eachPart(ctx, z, m, nowhereTold))
}

// told is open with its parts told beforehand.
func (m Manifest) told(doing string, tell func(BackupProgress), open func(BackupPart) (io.WriteCloser, error)) func(BackupPart) (io.WriteCloser, error) {
	at := BackupProgress{Doing: doing, Parts: len(m.Parts), Total: m.Bytes()}
	return func(p BackupPart) (io.WriteCloser, error) {
		at.Part, at.Number = p.Name, at.Number+1
		if tell != nil {
			tell(at)
		}
		at.Done += p.Bytes
		return open(p)
	}
}

type nowhere struct{}

// Write implements io.Writer.
func (nowhere) Write(p []byte) (int, error) { return len(p), nil }

// Close implements io.Closer.
func (nowhere) Close() error { return nil }

// openBackup opens the archive and reads its manifest. z is nil with an error.
func openBackup(path string) (z *zip.ReadCloser, m Manifest, err error) {
	if _, err := os.Stat(path); err != nil {
		return nil, m, because(ErrBadBackup, err, "the backup cannot be read (%v); check the path", err)
	}
	z, err = zip.OpenReader(path)
	if err != nil {
		return nil, m, damaged(err, "this is no backup, or its end is cut off (%v)", err)
	}
	if m, err = readManifest(z); err != nil {
		_ = z.Close() // read only: nothing to lose
		return nil, m, err
	}
	return z, m, nil
}

func readManifest(z *zip.ReadCloser) (m Manifest, err error) {
	f, err := z.Open(manifestName)
	if err != nil {
		return m, damaged(err, "this is no backup of underkick: it has no %s", manifestName)
	}
	defer func() { _ = f.Close() }() // read only: nothing to lose
	text, err := io.ReadAll(io.LimitReader(f, maxManifest))
	if err != nil {
		return m, damaged(err, "the list of contents is damaged (%v)", err)
	}
	if err := json.Unmarshal(text, &m); err != nil || m.Format != backupFormat {
		return m, damaged(err, "this is no backup of underkick: its %s is of something else", manifestName)
	}
	if m.Edition > backupEdition {
		return m, because(ErrNewer, nil, "the backup was written by a newer underkick; nothing was changed. Use the newer version")
	}
	return m, whole(z, m)
}

// whole checks that the archive holds the manifest's parts and nothing else.
func whole(z *zip.ReadCloser, m Manifest) error {
	there := map[string]int{}
	for _, f := range z.File {
		there[f.Name]++
	}
	if len(m.Parts) == 0 || m.Parts[0].Name != databaseName {
		return damaged(nil, "the backup has no database")
	}
	for _, p := range m.Parts {
		if !partName.MatchString(p.Name) {
			return damaged(nil, "the backup has a part with the odd name %q", p.Name)
		}
		if there[p.Name] != 1 {
			return damaged(nil, "the part %s is not there once but %d times", p.Name, there[p.Name])
		}
	}
	if len(z.File) != len(m.Parts)+1 {
		return damaged(nil, "the backup holds %d files in place of %d", len(z.File), len(m.Parts)+1)
	}
	return nil
}

// eachPart copies every part to where open says and holds it against the
// manifest.
func eachPart(ctx context.Context, z *zip.ReadCloser, m Manifest, open func(BackupPart) (io.WriteCloser, error)) error {
	for _, p := range m.Parts {
		w, err := open(p)
		if err != nil {
			return err
		}
		err = onePart(ctx, z, p, w)
		if e := w.Close(); err == nil {
			err = e
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func onePart(ctx context.Context, z *zip.ReadCloser, p BackupPart, w io.Writer) error {
	f, err := z.Open(p.Name)
	if err != nil {
		return damaged(err, "the part %s is damaged (%v)", p.Name, err)
	}
	defer func() { _ = f.Close() }() // read only: nothing to lose
	hash := sha256.New()
	source := &sourceErr{r: untilDone{ctx, io.LimitReader(f, p.Bytes+1)}}
	n, err := io.CopyBuffer(io.MultiWriter(w, hash), source, make([]byte, 1<<20))
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case source.err != nil:
		return damaged(source.err, "the part %s is damaged (%v)", p.Name, source.err)
	case err != nil:
		return err
	case n != p.Bytes || hex.EncodeToString(hash.Sum(nil)) != p.SHA256:
		return damaged(nil, "the part %s is damaged: it is not what was written", p.Name)
	}
	return nil
}

// sourceErr tells apart an error of reading from one of writing.
type sourceErr struct {
	r   io.Reader
	err error
}

// Read implements io.Reader.
func (s *sourceErr) Read(p []byte) (int, error) {
	n, err := s.r.Read(p)
	if err != nil && err != io.EOF {
		s.err = err
	}
	return n, err
}
