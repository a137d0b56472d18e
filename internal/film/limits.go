package film

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
	maxStreams   = 64
	maxProbeJSON = 1 << 28 // bytes of ffprobe's answer
	maxLogLine   = 64 << 10
	maxLogTail   = 4 << 10
)
