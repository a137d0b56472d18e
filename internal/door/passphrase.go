package door

import (
	"crypto/pbkdf2"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"unicode/utf8"

	"underkick/internal/disk"
)

// ErrNoPassphrase says that none was set for a data folder.
var ErrNoPassphrase = errors.New("no passphrase is set")

// ErrWeak says that a passphrase is not taken; the error's words say why.
var ErrWeak = errors.New("this passphrase is not taken")

const (
	passphraseFile = "passphrase.json"
	hashMethod     = "PBKDF2-HMAC-SHA-256"
	hashRounds     = 600_000 // OWASP Password Storage Cheat Sheet, 2023, for PBKDF2-HMAC-SHA256
	mostRounds     = 20_000_000
	saltBytes      = 16
	shortest       = 12 // characters
	longest        = 1024
	fewestKinds    = 5 // different characters
)

// Passphrase is a passphrase as it is kept: a salted slow hash, from which the
// words cannot be read back.
type Passphrase struct {
	Method string `json:"method"`
	Rounds int    `json:"rounds"`
	Salt   []byte `json:"salt"`
	Hash   []byte `json:"hash"`
}

// NewPassphrase hashes text with a new salt. Text needs 12 to 1024 characters,
// at least 5 different ones; else the error wraps ErrWeak.
func NewPassphrase(text string) (Passphrase, error) {
	if err := checkWords(text); err != nil {
		return Passphrase{}, err
	}
	p := Passphrase{Method: hashMethod, Rounds: hashRounds, Salt: make([]byte, saltBytes)}
	if _, err := rand.Read(p.Salt); err != nil {
		return Passphrase{}, fmt.Errorf("draw a salt: %w", err)
	}
	hash, err := slowHash(text, p.Salt, p.Rounds)
	if err != nil {
		return Passphrase{}, err
	}
	p.Hash = hash
	return p, nil
}

func checkWords(text string) error {
	kinds := map[rune]bool{}
	for _, c := range text {
		kinds[c] = true
	}
	switch n := utf8.RuneCountInString(text); {
	case !utf8.ValidString(text):
		return fmt.Errorf("%w: it is not text in UTF-8", ErrWeak)
	case n < shortest:
		return fmt.Errorf("%w: it has %d characters and needs %d; take four words that do not belong together", ErrWeak, n, shortest)
	case n > longest:
		return fmt.Errorf("%w: it is longer than %d characters", ErrWeak, longest)
	case len(kinds) < fewestKinds:
		return fmt.Errorf("%w: it repeats fewer than %d different characters", ErrWeak, fewestKinds)
	}
	return nil
}

func slowHash(text string, salt []byte, rounds int) ([]byte, error) {
	hash, err := pbkdf2.Key(sha256.New, text, salt, rounds, sha256.Size)
	if err != nil {
		return nil, fmt.Errorf("hash the passphrase: %w", err)
	}
	return hash, nil
}

// Matches reports whether text is the passphrase. It takes some tenths of a
// second by intent.
func (p Passphrase) Matches(text string) bool {
	if len(text) > 4*longest || len(p.Hash) == 0 {
		return false
	}
	hash, err := slowHash(text, p.Salt, p.Rounds)
	return err == nil && subtle.ConstantTimeCompare(hash, p.Hash) == 1
}

// Keep writes the passphrase's hash into the data folder, readable by its owner
// alone, in place of any other.
func (p Passphrase) Keep(dataDir string) error {
	text, err := json.MarshalIndent(p, "", "  ")
	if err != nil {
		return fmt.Errorf("write the passphrase: %w", err)
	}
	if err := os.MkdirAll(dataDir, 0o700); err != nil {
		return fmt.Errorf("make the data folder: %w", err)
	}
	if err := disk.Write(filepath.Join(dataDir, passphraseFile), append(text, '\n')); err != nil {
		return fmt.Errorf("write the passphrase: %w", err)
	}
	return nil
}

// LoadPassphrase reads the hash kept in the data folder; ErrNoPassphrase when
// there is none.
func LoadPassphrase(dataDir string) (Passphrase, error) {
	text, err := os.ReadFile(filepath.Join(dataDir, passphraseFile))
	if errors.Is(err, fs.ErrNotExist) {
		return Passphrase{}, ErrNoPassphrase
	}
	if err != nil {
		return Passphrase{}, fmt.Errorf("read the passphrase: %w", err)
	}
	var p Passphrase
	if err := json.Unmarshal(text, &p); err != nil {
		return Passphrase{}, fmt.Errorf("%s is damaged; set the passphrase again: %w", passphraseFile, err)
	}
	if p.Method != hashMethod || p.Rounds < hashRounds || p.Rounds > mostRounds || len(p.Salt) < saltBytes || len(p.Hash) != sha256.Size {
		return Passphrase{}, fmt.Errorf("%s holds no hash of ours; set the passphrase again", passphraseFile)
	}
	return p, nil
}
