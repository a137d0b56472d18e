// Package underkick holds the texts that must go with the binary.
package underkick

import _ "embed" // for the two texts

// Licence is the text of the licence of the whole, GPL-3.0-or-later.
//
//go:embed LICENSE
var Licence string

// Notices are those of the software contained, written by scripts/notices.sh.
//
//go:embed THIRD_PARTY.txt
var Notices string
