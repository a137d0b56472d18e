package film

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// What is asked of ffprobe, and the shape of its answer. Only fields that mean
// the same in all supported versions are read.
const probeEntries = "packet=stream_index,pts,dts,flags:stream:stream_tags:" +
	"stream_disposition:stream_side_data:format:format_tags"

type probePacket struct {
	Stream int    `json:"stream_index"`
	PTS    *int64 `json:"pts"` // nil = none
	DTS    *int64 `json:"dts"`
	Flags  string `json:"flags"`
}

// packet is what is kept of a video packet.
type packet struct {
	pts, dts       int64
	hasPTS, hasDTS bool
	key, hidden    bool // hidden = decoded but not shown (edit list)
	broken         bool
}

type probeStream struct {
	Index       int               `json:"index"`
	CodecName   string            `json:"codec_name"`
	CodecType   string            `json:"codec_type"`
	Width       int               `json:"width"`
	Height      int               `json:"height"`
	HasBFrames  int               `json:"has_b_frames"`
	SAR         string            `json:"sample_aspect_ratio"`
	PixFmt      string            `json:"pix_fmt"`
	FieldOrder  string            `json:"field_order"`
	ColorRange  string            `json:"color_range"`
	ColorSpace  string            `json:"color_space"`
	RFrameRate  string            `json:"r_frame_rate"`
	AvgRate     string            `json:"avg_frame_rate"`
	TimeBase    string            `json:"time_base"`
	Duration    string            `json:"duration"`
	NbFrames    string            `json:"nb_frames"`
	Disposition map[string]int    `json:"disposition"`
	Tags        map[string]string `json:"tags"`
	SideData    []probeSideData   `json:"side_data_list"`
}

type probeSideData struct {
	Type     string   `json:"side_data_type"`
	Rotation *float64 `json:"rotation"`
}

type probeFormat struct {
	Name     string            `json:"format_name"`
	Start    string            `json:"start_time"`
	Duration string            `json:"duration"`
	Tags     map[string]string `json:"tags"`
}

// probeAnswer is all of ffprobe's answer; packets are by stream.
type probeAnswer struct {
	packets map[int][]packet
	streams []probeStream
	format  probeFormat
}

var errTooManyPackets = errors.New("too many packets")

// readProbe reads ffprobe's JSON (sections packets, streams and format in any
// order, others skipped), packet by packet so that a long film costs little.
// It fails on anything that is not such a document and on more than limit packets.
func readProbe(r io.Reader, limit int) (*probeAnswer, error) {
	dec := json.NewDecoder(r)
	if err := wantDelim(dec, '{'); err != nil {
		return nil, err
	}
	a := &probeAnswer{packets: map[int][]packet{}}
	for dec.More() {
		key, err := dec.Token()
		if err != nil {
			return nil, fmt.Errorf("read probe: %w", err)
		}
		switch key {
		case "packets":
			err = a.readPackets(dec, limit)
		case "streams":
			err = dec.Decode(&a.streams)
		case "format":
			err = dec.Decode(&a.format)
		default:
			var skip json.RawMessage
			err = dec.Decode(&skip)
		}
		if err != nil {
			return nil, fmt.Errorf("read probe: %w", err)
		}
	}
	if err := wantDelim(dec, '}'); err != nil {
		return nil, err
	}
	if len(a.streams) > maxStreams {
		return nil, fmt.Errorf("read probe: %d streams", len(a.streams))
	}
	return a, nil
}

func wantDelim(dec *json.Decoder, want json.Delim) error {
	t, err := dec.Token()
	if err != nil {
		return fmt.Errorf("read probe: %w", err)
	}
	if t != want {
		return fmt.Errorf("read probe: %v where %v should be", t, want)
	}
	return nil
}

func (a *probeAnswer) readPackets(dec *json.Decoder, limit int) error {
	if err := wantDelim(dec, '['); err != nil {
		return err
	}
	for n := 0; dec.More(); n++ {
		if n >= limit {
			return errTooManyPackets
		}
		var p probePacket
		if err := dec.Decode(&p); err != nil {
			return err
		}
		a.packets[p.Stream] = append(a.packets[p.Stream], p.brief())
	}
	return wantDelim(dec, ']')
}

func (p *probePacket) brief() packet {
	b := packet{
		key:    strings.Contains(p.Flags, "K"),
		hidden: strings.Contains(p.Flags, "D"),
		broken: strings.Contains(p.Flags, "C"),
	}
	if p.PTS != nil {
		b.pts, b.hasPTS = *p.PTS, true
	}
	if p.DTS != nil {
		b.dts, b.hasDTS = *p.DTS, true
	}
	return b
}

// Ratio is a rational number, such as a time base; Den is positive.
type Ratio struct{ Num, Den int64 }

// Float returns the value of the ratio, 0 for the zero Ratio.
func (r Ratio) Float() float64 {
	if r.Den == 0 {
		return 0
	}
	return float64(r.Num) / float64(r.Den)
}

// parseRatio reads "a/b" or "a:b" with a >= 0 and b > 0; the zero Ratio for
// anything else, which is how ffprobe says unknown ("0/0", "N/A", "").
func parseRatio(s string) Ratio {
	a, b, ok := strings.Cut(strings.Replace(s, ":", "/", 1), "/")
	if !ok {
		return Ratio{}
	}
	num, err1 := strconv.ParseInt(a, 10, 32)
	den, err2 := strconv.ParseInt(b, 10, 32)
	if err1 != nil || err2 != nil || num < 0 || den <= 0 {
		return Ratio{}
	}
	return Ratio{num, den}
}
