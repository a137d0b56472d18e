package film

import (
	"encoding/binary"
	"math"
)

// A picture's time cannot be told through a pipe of bare pictures. Those of which
// each has a time of its own are handed to the encoder as a Matroska stream
// (RFC 9559, in the notation of RFC 8794) of uncompressed pictures, one to a
// cluster, with times in whole microseconds.

// Element ids of RFC 9559, section 5, and RFC 8794, section 11.2.
const (
	idEBML, idDocType, idDocTypeVersion, idDocTypeReadVersion = 0x1A45DFA3, 0x4282, 0x4287, 0x4285

	idSegment, idInfo, idTimestampScale, idMuxingApp, idWritingApp = 0x18538067, 0x1549A966, 0x2AD7B1, 0x4D80, 0x5741

	idTracks, idTrackEntry, idTrackNumber, idTrackUID, idTrackType = 0x1654AE6B, 0xAE, 0xD7, 0x73C5, 0x83
	idFlagLacing, idCodecID, idVideo                               = 0x9C, 0x86, 0xE0
	idPixelWidth, idPixelHeight, idUncompressedFourCC              = 0xB0, 0xBA, 0x2EB524

	idCluster, idTimestamp, idBlockGroup, idBlock, idBlockDuration = 0x1F43B675, 0xE7, 0xA0, 0xA1, 0x9B
)

const microsecond = 1000 // nanoseconds: the unit of the stream's times

// rawStream writes what stands before each picture in such a stream. Its slices
// are valid until the next call.
type rawStream struct {
	width, height int
	times         []float64 // s, rising
	end           float64   // of the last picture, s
	buf           []byte
}

// head is what stands before picture k: its cluster up to the picture itself, and
// before the first one the head of the stream.
func (r *rawStream) head(k int) []byte {
	b := r.buf[:0]
	if k == 0 {
		b = r.streamHead(b)
	}
	at, end := micros(r.times[k]), micros(r.end)
	if k+1 < len(r.times) {
		end = micros(r.times[k+1])
	}
	size := YUV420P.bytes(r.width, r.height)
	// The picture must come last: nothing can be put after it. So its length of
	// time stands before the block, which Matroska allows in any order.
	lasts := element(nil, idBlockDuration, unsigned(end-at))
	block := appendSize(appendID(nil, idBlock), 4+size)
	block = append(block, 0x81, 0, 0, 0) // track 1, 0 after the cluster's time, no lacing
	group := appendSize(appendID(nil, idBlockGroup), len(lasts)+len(block)+size)
	stamp := element(nil, idTimestamp, unsigned(at))
	b = appendSize(appendID(b, idCluster), len(stamp)+len(group)+len(lasts)+len(block)+size)
	for _, part := range [][]byte{stamp, group, lasts, block} {
		b = append(b, part...)
	}
	r.buf = b
	return b
}

func micros(s float64) uint64 { return uint64(math.Round(s * 1e6)) }

// streamHead is the head of the stream: one track of planar pictures.
func (r *rawStream) streamHead(b []byte) []byte {
	var e, info, video, track []byte
	e = element(e, idDocType, []byte("matroska"))
	e = element(e, idDocTypeVersion, unsigned(4))
	e = element(e, idDocTypeReadVersion, unsigned(2))
	b = element(b, idEBML, e)
	b = append(appendID(b, idSegment), 0x01, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF) // of unknown size

	info = element(info, idTimestampScale, unsigned(microsecond))
	info = element(info, idMuxingApp, []byte("underkick"))
	info = element(info, idWritingApp, []byte("underkick"))
	b = element(b, idInfo, info)

	video = element(video, idPixelWidth, unsigned(uint64(r.width)))
	video = element(video, idPixelHeight, unsigned(uint64(r.height)))
	video = element(video, idUncompressedFourCC, []byte("I420"))
	track = element(track, idTrackNumber, unsigned(1))
	track = element(track, idTrackUID, unsigned(1))
	track = element(track, idTrackType, unsigned(1))
	track = element(track, idFlagLacing, unsigned(0))
	track = element(track, idCodecID, []byte("V_UNCOMPRESSED"))
	track = element(track, idVideo, video)
	return element(b, idTracks, element(nil, idTrackEntry, track))
}

// element appends an element with its content.
func element(b []byte, id uint32, content []byte) []byte {
	return append(appendSize(appendID(b, id), len(content)), content...)
}

// appendID appends an element id, which carries its own length.
func appendID(b []byte, id uint32) []byte {
	full := binary.BigEndian.AppendUint32(nil, id)
	for len(full) > 1 && full[0] == 0 {
		full = full[1:]
	}
	return append(b, full...)
}

// appendSize appends a size in eight bytes, the longest form (RFC 8794, section 4).
func appendSize(b []byte, n int) []byte {
	return binary.BigEndian.AppendUint64(b, 1<<56|uint64(n))
}

// unsigned is an unsigned integer in eight bytes.
func unsigned(n uint64) []byte { return binary.BigEndian.AppendUint64(nil, n) }
