package film

import "sort"

// Longest returns the end of the longest stretch from frame from on that one
// Decode reads: frames from to Longest-1. It is from when there is no such frame.
func (x *Index) Longest(from int) int {
	if from < 0 || from >= len(x.Frames) {
		return from
	}
	extra := sort.Search(len(x.Frames)-from, func(i int) bool {
		_, _, err := checkRange(x.Frames, from, from+i+1)
		return err != nil
	})
	return from + extra
}
