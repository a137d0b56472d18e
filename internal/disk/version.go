package disk

import (
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"
)

// VersionFolder makes the folder named after a version below parent, and removes
// whatever else is there: an older version's files only take up room. One that cannot
// be removed now is removed another time.
func VersionFolder(parent, version string) (string, error) {
	dir := filepath.Join(parent, version)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", err
	}
	entries, err := os.ReadDir(parent)
	if err != nil {
		return "", err
	}
	for _, e := range entries {
		if e.Name() != version {
			_ = os.RemoveAll(filepath.Join(parent, e.Name()))
		}
	}
	return dir, nil
}

// CompiledFolder is the VersionFolder below parent for what the compiler in this
// program makes of a WebAssembly module with the SHA-256 given in hexadecimal digits:
// another module or another compiler gets another folder.
func CompiledFolder(parent, sha256 string) (string, error) {
	return VersionFolder(parent, sha256[:12]+"-"+compiler())
}

// compiler names wazero and its version in this program.
func compiler() string {
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, d := range info.Deps {
			if d.Path == "github.com/tetratelabs/wazero" {
				return "wazero" + strings.TrimPrefix(d.Version, "v")
			}
		}
	}
	return "wazero"
}
