package cli

import (
	"fmt"
	"io"

	"underkick/internal/disk"
)

// writeFile writes a file whole or not at all.
func writeFile(path string, write func(io.Writer) error) error {
	if err := disk.Fill(path, write); err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	return nil
}

// writeOut is writeFile, with "-" for standard output.
func writeOut(name string, out io.Writer, write func(io.Writer) error) error {
	if name == "-" {
		return write(out)
	}
	return writeFile(name, write)
}
