package film

import "fmt"

// A Warning is something about a clip that a result depends on.
type Warning struct {
	Code WarningCode
	Text string // for the user: what is so, what it means, what to do
}

// WarningCode names the kind of a Warning; it stays the same between versions.
type WarningCode string

// The kinds of warning.
const (
	WarnTruncated    WarningCode = "truncated"     // the file ends early
	WarnDamaged      WarningCode = "damaged"       // some pictures are wrong
	WarnMissingStart WarningCode = "missing_start" // the first pictures cannot be decoded
	WarnGaps         WarningCode = "gaps"          // single frames are missing
	WarnVariable     WarningCode = "variable_rate" // frames are not evenly spaced
	WarnRoundedClock WarningCode = "rounded_clock" // times were stored in whole milliseconds
	WarnSlowMotion   WarningCode = "slow_motion"   // the file says it was filmed faster than it plays
	WarnInterlaced   WarningCode = "interlaced"    // two fields in each picture
	WarnHidden       WarningCode = "hidden_frames" // an edit list hides frames
	WarnTwoVideos    WarningCode = "two_videos"    // more than one video track
	WarnClockJump    WarningCode = "clock_jump"    // the clock goes back: parts were joined
	WarnSizeChange   WarningCode = "size_change"   // the picture size changes
	WarnHeader       WarningCode = "header_lies"   // the header's length is not the film's
	WarnLong         WarningCode = "long"          // longer than is read at once
	WarnRotation     WarningCode = "odd_rotation"  // turned by other than quarter turns
)

func warn(code WarningCode, format string, args ...any) Warning {
	return Warning{code, fmt.Sprintf(format, args...)}
}
