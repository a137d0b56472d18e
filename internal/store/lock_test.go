package store_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"underkick/internal/store"
)

func TestSecondProcessIsRefused(t *testing.T) {
	dir := t.TempDir()
	cmd, _, out := startChild(t, "hold", dir)
	if line, err := out.ReadString('\n'); err != nil || line != "open\n" {
		t.Fatalf("%q %v", line, err)
	}
	_, err := store.Open(t.Context(), dir, store.Options{})
	if !errors.Is(err, store.ErrLocked) || !strings.Contains(err.Error(), fmt.Sprint("process ", cmd.Process.Pid)) || !strings.Contains(err.Error(), "--data") {
		t.Errorf("while another has it open: %v", err)
	}
	if err := cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = cmd.Wait() // killed
	open(t, dir, store.Options{})

	// The lock also goes when a process ends in good order.
	other := t.TempDir()
	cmd, in, out := startChild(t, "hold", other)
	if _, err := out.ReadString('\n'); err != nil {
		t.Fatal(err)
	}
	if err := in.Close(); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Wait(); err != nil {
		t.Fatal(err)
	}
	open(t, other, store.Options{})
}

func TestSecondStoreInOneProcessIsRefused(t *testing.T) {
	dir := t.TempDir()
	first, err := store.Open(t.Context(), dir, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := store.Open(t.Context(), dir, store.Options{}); !errors.Is(err, store.ErrLocked) {
		t.Errorf("second store: %v", err)
	}
	if err := first.Close(); err != nil {
		t.Fatal(err)
	}
	open(t, dir, store.Options{})
}
