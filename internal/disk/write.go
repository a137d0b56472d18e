package disk

import (
	"errors"
	"io"
	"os"
	"path/filepath"
)

// Unfinished begins the names of files that are being written. What bears it after
// nothing writes any more was left behind and may be removed.
const Unfinished = ".unfinished-"

// Write makes the file at path hold data, readable by its owner alone. The folder must
// be there. A file that was there stands until the new one is whole and on the disk, so
// that neither a failure nor a loss of power leaves half a file; nothing is left of what
// was begun.
func Write(path string, data []byte) error { return write(path, all(data), (*os.File).Sync) }

// Fill is Write of what fill writes. An error of fill comes back.
func Fill(path string, fill func(io.Writer) error) error {
	return write(path, fill, (*os.File).Sync)
}

// WriteUnsynced is Write for what can be made again: it does not wait for the disk, and
// a loss of power may leave an empty file.
func WriteUnsynced(path string, data []byte) error {
	return write(path, all(data), func(*os.File) error { return nil })
}

func all(data []byte) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	}
}

func write(path string, fill func(io.Writer) error, settle func(*os.File) error) error {
	f, err := os.CreateTemp(filepath.Dir(path), Unfinished+"*") // made with mode 0600
	if err != nil {
		return err
	}
	if err = fill(f); err == nil {
		err = settle(f)
	}
	err = errors.Join(err, f.Close())
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		return errors.Join(err, os.Remove(f.Name()))
	}
	return nil
}
