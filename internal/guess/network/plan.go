package network

import "slices"

// layout says where in one block of memory each computed tensor lies: tensors
// that are not needed at the same time share their place. Offsets are in
// bytes.
type layout struct {
	offset map[int]int
	total  int
}

const align = 64

// arrange lays out the graph's computed tensors by first fit.
func arrange(g *graph) layout {
	last := map[int]int{g.output: len(g.steps)}
	for i, s := range g.steps {
		for _, t := range s.in {
			if g.tensors[t].half == nil {
				last[t] = max(last[t], i)
			}
		}
	}
	l := layout{offset: map[int]int{}}
	type span struct{ from, to, until int }
	var used []span
	place := func(t, now int) {
		size := (4*g.tensors[t].size() + 2*align - 1) / align * align // kernels may read a little past the end
		used = slices.DeleteFunc(used, func(s span) bool { return s.until < now })
		at, i := 0, 0
		for i < len(used) && at+size > used[i].from {
			at = max(at, used[i].to)
			i++
		}
		used = slices.Insert(used, i, span{at, at + size, last[t]})
		l.offset[t] = at
		l.total = max(l.total, at+size)
	}
	place(g.input, 0)
	for i, s := range g.steps {
		place(s.out, i)
	}
	return l
}
