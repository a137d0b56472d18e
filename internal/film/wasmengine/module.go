package wasmengine

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	_ "embed" // for the module
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"
)

//go:embed ffmpreg.wasm.gz
var packed string

// ModuleSHA256 is the SHA-256 of the unpacked module.
const ModuleSHA256 = "357dd97d37f5fa01b45865bc5d6e90a9538e8bff236de7f1c143a3bc863bc766"

// Version names the module, as part of keys of what was made with it.
const Version = "n5.1.10-ffmpreg0.6.22"

const maxModule = 64 << 20

// folder returns the folder below cacheDir for this module and this compiler.
func folder(cacheDir string) string {
	return filepath.Join(cacheDir, "film-engine", ModuleSHA256[:12]+"-"+compilerVersion())
}

// compilerVersion is the version of wazero in this program.
func compilerVersion() string {
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, d := range info.Deps {
			if d.Path == "github.com/tetratelabs/wazero" {
				return "wazero" + strings.TrimPrefix(d.Version, "v")
			}
		}
	}
	return "wazero"
}

// unpack returns the module, from the folder when a whole one is there, else
// from this program, leaving it there for the next time.
func unpack(dir string) ([]byte, error) {
	path := filepath.Join(dir, "ffmpreg.wasm")
	if b, err := os.ReadFile(path); err == nil && rightSum(b) {
		return b, nil
	}
	z, err := gzip.NewReader(strings.NewReader(packed))
	if err != nil {
		return nil, fmt.Errorf("unpack the film engine: %w", err)
	}
	b, err := io.ReadAll(io.LimitReader(z, maxModule))
	if err != nil {
		return nil, fmt.Errorf("unpack the film engine: %w", err)
	}
	if !rightSum(b) {
		return nil, errors.New("unpack the film engine: this program file is damaged; install it again")
	}
	if err := writeWhole(path, b); err != nil {
		return nil, fmt.Errorf("keep the film engine: %w", err)
	}
	return b, nil
}

func rightSum(b []byte) bool {
	sum := sha256.Sum256(b)
	want, err := hex.DecodeString(ModuleSHA256)
	return err == nil && bytes.Equal(sum[:], want)
}

// writeWhole writes a file so that it is there whole or not at all.
func writeWhole(path string, b []byte) error {
	f, err := os.CreateTemp(filepath.Dir(path), ".tmp-*")
	if err != nil {
		return err
	}
	_, err = f.Write(b)
	if closeErr := f.Close(); err == nil {
		err = closeErr
	}
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		_ = os.Remove(f.Name()) // the first error is the one to tell
	}
	return err
}

// prepare makes the folder for this version and removes those of others.
func prepare(cacheDir string) (string, error) {
	dir := folder(cacheDir)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", fmt.Errorf("keep the film engine: %w", err)
	}
	parent := filepath.Dir(dir)
	entries, err := os.ReadDir(parent)
	if err != nil {
		return "", fmt.Errorf("keep the film engine: %w", err)
	}
	for _, e := range entries {
		if e.Name() != filepath.Base(dir) {
			// An older version's files only take up room; one that cannot be
			// removed now is removed another time.
			_ = os.RemoveAll(filepath.Join(parent, e.Name()))
		}
	}
	return dir, nil
}
