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
	"strings"

	"underkick/internal/disk"
)

//go:embed ffmpreg.wasm.gz
var packed string

// ModuleSHA256 is the SHA-256 of the unpacked module.
const ModuleSHA256 = "357dd97d37f5fa01b45865bc5d6e90a9538e8bff236de7f1c143a3bc863bc766"

// Version names the module, as part of keys of what was made with it.
const Version = "n5.1.10-ffmpreg0.6.22"

const maxModule = 64 << 20

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
	if err := disk.WriteUnsynced(path, b); err != nil {
		return nil, fmt.Errorf("keep the film engine: %w", err)
	}
	return b, nil
}

func rightSum(b []byte) bool {
	sum := sha256.Sum256(b)
	want, err := hex.DecodeString(ModuleSHA256)
	return err == nil && bytes.Equal(sum[:], want)
}

// prepare makes the folder for this version and removes those of others.
func prepare(cacheDir string) (string, error) {
	dir, err := disk.CompiledFolder(filepath.Join(cacheDir, "film-engine"), ModuleSHA256)
	if err != nil {
		return "", fmt.Errorf("keep the film engine: %w", err)
	}
	return dir, nil
}
