package record

// replayed follows a history of acts, oldest first: undo and redo move along the line of what
// was kept, everything else is put after what stands and drops what could be brought back. It
// returns the places in the history of that line and where on it the history stands; at is -1
// for an empty line. An undo never takes back the first.
func replayed[A comparable](acts []A, undo, redo A) (line []int, at int) {
	at = -1
	for i, act := range acts {
		switch act {
		case undo:
			at = max(min(0, len(line)-1), at-1)
		case redo:
			at = min(len(line)-1, at+1)
		default:
			line = append(line[:at+1], i)
			at = len(line) - 1
		}
	}
	return line, at
}
