package network

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	_ "embed" // for the network and its kernels
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"strings"
)

//go:embed weights.tflite.gz
var packedWeights string

//go:embed kernels.wasm.gz
var packedKernels string

// SHA-256 of the two files as unpacked, which are as their makers published
// them (SOURCES.md).
const (
	WeightsSHA256 = "59e42d71bcd44cbdbabc419f0ff76686595fd265419566bd4009ef703ea8e1fe"
	KernelsSHA256 = "77ebb28a6d34f371dbbf2086b7f2de8994acd8ea5a3cf1fa24d2c26c840cac7b"
)

// Sizes of the two files as unpacked, bytes.
const (
	weightsSize = 27709200
	kernelsSize = 424594
)

// Version names the network and its kernels, as part of keys of what was made
// with them.
const Version = "59e42d71-77ebb28a"

const maxUnpacked = 64 << 20

// unpack returns a file that lies compressed in this program.
func unpack(packed, sum string, size int) ([]byte, error) {
	z, err := gzip.NewReader(strings.NewReader(packed))
	if err != nil {
		return nil, fmt.Errorf("unpack the network: %w", err)
	}
	var out bytes.Buffer
	out.Grow(size + bytes.MinRead) // or it would double, with twice the memory
	if _, err := out.ReadFrom(io.LimitReader(z, maxUnpacked)); err != nil {
		return nil, fmt.Errorf("unpack the network: %w", err)
	}
	b := out.Bytes()
	want, err := hex.DecodeString(sum)
	if got := sha256.Sum256(b); err != nil || !bytes.Equal(got[:], want) {
		return nil, errors.New("unpack the network: this program file is damaged; install it again")
	}
	return b, nil
}
