package poolside

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"

	"underkick/internal/table"
)

// maxTableBytes bounds what is read of a landmark table: an hour of film with
// every landmark is far below it.
const maxTableBytes = 256 << 20

func readTable(path, mapping string) (*table.Table, error) {
	var opt table.Options
	if mapping != "" {
		text, err := readSmall(mapping)
		if err != nil {
			return nil, err
		}
		if opt.Keypoints, err = table.ParseKeypointMap(bytes.NewReader(text)); err != nil {
			return nil, inputf("read %s: %w", mapping, err)
		}
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, openError(path, err)
	}
	defer func() { _ = f.Close() }() // read only: nothing to lose
	t, err := table.Read(io.LimitReader(f, maxTableBytes), opt)
	if err != nil {
		return nil, inputf("read %s: %w", path, err)
	}
	return t, nil
}

// readSmall reads a plane or mapping file, which are at most a few pages.
func readSmall(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, openError(path, err)
	}
	defer func() { _ = f.Close() }() // read only: nothing to lose
	const limit = 4 << 20
	text, err := io.ReadAll(io.LimitReader(f, limit+1))
	if err != nil {
		return nil, openError(path, err)
	}
	if len(text) > limit {
		return nil, inputf("%s is larger than 4 MB; is it the right file?", path)
	}
	return text, nil
}

// openError says what is wrong with a path in words.
func openError(path string, err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return inputf("there is no file %s; check the path", path)
	case errors.Is(err, fs.ErrPermission):
		return inputf("%s may not be read; check its permissions", path)
	}
	return inputf("read %s: %w", path, err)
}
