package web

import (
	"fmt"

	"underkick/internal/store"
)

// megabytes writes a number of bytes for people.
func megabytes(n int64) string {
	switch {
	case n >= 1e9:
		return fmt.Sprintf("%.1f\u00a0GB", float64(n)/1e9)
	case n >= 1e8:
		return fmt.Sprintf("%.0f\u00a0MB", float64(n)/1e6)
	}
	return fmt.Sprintf("%.1f\u00a0MB", float64(n)/1e6)
}

// notePlace is the address of the page that shows a note, "" where none does.
func notePlace(m store.Mention) string {
	switch m.Of {
	case store.SwimmerNotes:
		return "/swimmer/" + m.ID + "/edit"
	case store.RunNotes:
		return "/run/" + m.ID
	case store.ClipName:
		return "/clip/" + m.ID
	}
	return ""
}
