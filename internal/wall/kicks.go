package wall

import "math"

// choose sets the number of kicks. Counts are compared by the mean time to 15 m over the
// draws; the fewest of those that are within tie of the fastest is the plan, so that
// nobody stays under longer than is fast.
func (p *planner) choose() {
	o := p.plan
	times := []float64{p.meanTo15(0)}
	fastest, bound := 0, "speed"
	for n := 1; n <= maxKicks && n <= fastest+lookAhead; n++ {
		if bound = p.forbids(n); bound != "" {
			break
		}
		times = append(times, p.meanTo15(n))
		if times[n] < times[fastest] {
			fastest = n
		}
	}
	p.allowed = len(times) - 1
	fewest := fastest
	for fewest > 0 && times[fewest-1] <= times[fastest]+tie {
		fewest--
	}
	o.Kicks, o.AsFast, o.Bound = fewest, [2]int{fewest, fastest}, "speed"
	if fastest == p.allowed && bound != "" {
		o.Bound = bound
	}
}

// lookAhead is how many kicks beyond the fastest number are tried: the time has one lowest place,
// and what comes after is only there to be shown.
const lookAhead = 4

func (p *planner) meanTo15(n int) float64 {
	return mean(p.draws, func(s stretch) float64 { return s.timeTo(Limit, p.from, n) })
}

// forbids says what does not allow n kicks, "" for nothing: the whole band of the breakout must stay
// before 15 m and the inputs as they are leave the reserve; a swimmer's own limit comes first.
func (p *planner) forbids(n int) string {
	if own := p.Swimmer.MostKicks; own > 0 && n > own {
		return "own"
	}
	if x, _ := p.central.breakout(p.from, n); x > Limit-reserve {
		return "rule"
	}
	beyond := 0
	for _, s := range p.draws {
		if x, _ := s.breakout(p.from, n); x > Limit {
			beyond++
		}
	}
	if float64(beyond) > 0.025*float64(len(p.draws)) {
		return "rule"
	}
	return ""
}

// maxKicks bounds the search; at 0.4 m a kick 15 m take fewer.
const maxKicks = 40

// tell fills in the numbers of the planned kicks and what other numbers cost.
func (p *planner) tell() {
	o := p.plan
	o.Breakout = p.place(o.Kicks)
	o.Underwater = p.over(func(s stretch) float64 { _, t := s.breakout(p.from, o.Kicks); return t })
	o.To15 = p.over(func(s stretch) float64 { return s.timeTo(Limit, p.from, o.Kicks) })
	o.ToMark = p.over(func(s stretch) float64 { return s.timeTo(p.Mark, p.from, o.Kicks) })
	if p.Brief {
		return
	}
	for n := max(0, o.Kicks-3); n <= min(o.Kicks+3, p.allowed); n++ {
		o.Costs = append(o.Costs, KickCost{n, p.cost(n), p.place(n)})
	}
	for n := range o.Kicks {
		at := p.over(func(s stretch) float64 { x, _, _ := s.end(p.from, n); return x })
		speed := p.over(func(s stretch) float64 { _, v, _ := s.end(p.from, n); return v })
		o.EachKick = append(o.EachKick, KickStart{n + 1, at, speed})
	}
	if o.Kicks > 0 {
		o.OneFewer = p.cost(o.Kicks - 1)
	}
	if o.Kicks < p.allowed { // what is not allowed is not made to look worth it
		o.OneMore = p.cost(o.Kicks + 1)
	}
	p.curve()
}

// place returns where the head comes up after n kicks.
func (p *planner) place(n int) Band {
	return p.over(func(s stretch) float64 { x, _ := s.breakout(p.from, n); return x })
}

// cost returns how much later the head is at 15 m with n kicks than with the plan's.
func (p *planner) cost(n int) Band {
	return p.over(func(s stretch) float64 {
		return s.timeTo(Limit, p.from, n) - s.timeTo(Limit, p.from, p.plan.Kicks)
	})
}

// CostOf returns what a number of kicks costs against the plan's to 15 m, s; not known
// beyond the numbers listed in Costs.
func (p *Plan) CostOf(kicks int) Band {
	for _, c := range p.Costs {
		if c.Kicks == kicks {
			return c.Cost
		}
	}
	return Unknown()
}

// curve samples the speed from the beginning of the glide to the breakout.
func (p *planner) curve() {
	const step = 0.25
	c := &p.plan.Curve
	first, last := p.central.x0, p.plan.Breakout.Value
	n := max(2, int(math.Ceil((last-first)/step))+1)
	for i := range n {
		x := first + (last-first)*float64(i)/float64(n-1)
		b := p.over(func(s stretch) float64 { return s.speedAt(x, p.from, p.plan.Kicks) })
		c.X, c.Speed = append(c.X, x), append(c.Speed, b.Value)
		c.Low, c.High = append(c.Low, b.Low), append(c.High, b.High)
	}
}
