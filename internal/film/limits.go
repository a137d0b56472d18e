package film

import (
	"context"
	"errors"
	"fmt"
	"time"
)

// Limits on what one call reads, so that a hostile or mistaken file costs
// neither the disk nor the afternoon.
const (
	// MaxFrames is the largest number of frames decoded by one Decode.
	MaxFrames = 2880
	// MaxSeconds is the longest stretch decoded by one Decode, in seconds of
	// the film's own time. It does not bind stretches of up to freeFrames
	// frames: a slow-motion file (240 fps played at 30) has 8 s of film for
	// 1 s of swimming and costs no more than its frames.
	MaxSeconds = 12.0
	freeFrames = 720 // 12 s at 60 fps

	maxPackets   = 600_000     // about 2.8 h at 60 fps
	maxPixels    = 8192 * 4320 // of one picture
	maxSide      = 1 << 14     // of its longer side
	maxStreams   = 64
	maxProbeJSON = 1 << 28 // bytes of ffprobe's answer
	maxLogLine   = 64 << 10
	maxLogTail   = 4 << 10
)

// patience is how long the decoding of n frames may take: far longer than the
// slowest engine needs for the largest pictures, so that only a file made to
// hang a decoder meets it.
func patience(n int) time.Duration { return 10*time.Minute + time.Duration(n)*3*time.Second }

// outOfPatience tells the end of our own patience from that of the caller's
// context ctx.
func outOfPatience(ctx context.Context, err error, name string) error {
	if errors.Is(err, context.DeadlineExceeded) && ctx.Err() == nil {
		return fmt.Errorf("%s takes far too long to decode and was given up; export it anew as MP4: %w", name, err)
	}
	return err
}
