package exported

// onRun is the run of a table t with a run_id.
func onRun() Field { return of("run", "run_id", "run", "id of the run") }

func marks() []Table {
	return append([]Table{
		{
			Name: "mark_steps", Words: "history of the marks: what was done, oldest first; undo and redo are steps too", Key: []string{"run", "seq"}, Links: []Link{link("run", "runs")},
			Fields: []Field{
				onRun(),
				count("seq", "seq", "number of the step within the run"),
				must(text("act", "act", "place, move, remove, accept, import, undo, redo")),
				text("who", "who", "who did it"),
				must(moment("at", "at", "when, UTC")),
			},
			of: "mark_step", rows: `WHERE t.run_id IN ` + theRuns + ` ORDER BY t.run_id, t.seq`,
		},
		{
			Name: "mark_changes", Words: "marks placed or removed in a step", Key: []string{"run", "seq", "frame", "landmark"},
			Links: []Link{{[]string{"run", "seq"}, "mark_steps", []string{"run", "seq"}}},
			Fields: []Field{
				{Name: "run", Type: "string", Words: "id of the run", Must: true, value: `(SELECT r.pub FROM run r JOIN mark_step s ON s.run_id = r.id WHERE s.id = t.step_id)`},
				{Name: "seq", Type: "integer", Words: "number of the step", Must: true, value: `(SELECT seq FROM mark_step WHERE id = t.step_id)`},
				count("frame", "frame", "frame, counted from 0 in the clip"),
				must(text("landmark", "landmark", "body point")),
				truth("removed", "removed", "the mark was taken away; its place is empty then"),
				{Name: "time_s", Type: "number", Unit: "s", Words: "the film's own time of the frame", value: `CASE WHEN NOT t.removed THEN t.time_s END`},
				{Name: "x_px", Type: "number", Unit: "px", Words: "from the left edge of the picture, rightwards; the middle of the first pixel is 0.5", value: `CASE WHEN NOT t.removed THEN t.x_px END`},
				{Name: "y_px", Type: "number", Unit: "px", Words: "from the top edge, downwards", value: `CASE WHEN NOT t.removed THEN t.y_px END`},
				{Name: "sd_px", Type: "number", Unit: "px", Words: "standard error per axis; 0: as assumed for every mark", value: `CASE WHEN NOT t.removed THEN t.sd_px END`},
			},
			of: "mark_change", rows: `JOIN mark_step o ON o.id = t.step_id WHERE o.run_id IN ` + theRuns + ` ORDER BY o.run_id, o.seq, t.frame, t.landmark`,
		},
	}, append(remarks(), pairs()...)...)
}

func remarks() []Table {
	ofRemark := of("remark", "remark_id", "remark", "id of the frame marked again")
	return []Table{
		{
			Name: "remarks", Words: "frames marked a second time, which tell the marker's own error", Key: []string{"id"}, Links: []Link{link("run", "runs")},
			Fields: []Field{
				own("id"), onRun(),
				count("frame", "frame", "frame"),
				count("run_seq", "run_seq", "the first marks are those of mark_steps up to this seq"),
				must(text("who", "who", "who marked again")),
				must(moment("created", "created", "when it was begun, UTC")),
			},
			of: "remark", rows: `WHERE t.run_id IN ` + theRuns + ` ORDER BY t.id`,
		},
		{
			Name: "remark_steps", Words: "what was done while marking again", Key: []string{"remark", "seq"}, Links: []Link{link("remark", "remarks")},
			Fields: []Field{
				ofRemark,
				count("seq", "seq", "number of the step"),
				must(text("act", "act", "place, move, remove, undo, redo")),
				text("landmark", "landmark", "body point; empty for undo and redo"),
				number("x_px", "x_px", "px", "place of the mark"),
				number("y_px", "y_px", "px", "place of the mark"),
				must(moment("at", "at", "when, UTC")),
			},
			of: "remark_step", rows: `WHERE t.remark_id IN (SELECT id FROM remark WHERE run_id IN ` + theRuns + `) ORDER BY t.remark_id, t.seq`,
		},
		{
			Name: "remark_acts", Words: "what was decided about a frame marked again, in order", Key: []string{"remark", "seq"}, Links: []Link{link("remark", "remarks")},
			Fields: []Field{
				ofRemark,
				{Name: "seq", Type: "integer", Words: "number of the decision", Must: true, value: `(SELECT count(*) FROM remark_act b WHERE b.remark_id = t.remark_id AND b.id <= t.id)`},
				must(text("act", "act", "finish, discard, restore")),
				must(moment("at", "at", "when, UTC")),
			},
			of: "remark_act", rows: `WHERE t.remark_id IN (SELECT id FROM remark WHERE run_id IN ` + theRuns + `) ORDER BY t.remark_id, t.id`,
		},
	}
}

func pairs() []Table {
	return []Table{
		{
			Name: "pairs", Words: "two runs marked alike, in turn", Key: []string{"id"}, Links: []Link{link("run_a", "runs"), link("run_b", "runs")},
			Fields: []Field{
				own("id of the pair"),
				of("run_a", "run_a", "run", "id of the first run"),
				of("run_b", "run_b", "run", "id of the second run"),
				must(text("who", "who", "who marked")),
				must(moment("created", "created", "when it was begun, UTC")),
			},
			of: "pair", rows: `WHERE t.run_a IN ` + theRuns + ` AND t.run_b IN ` + theRuns + ` ORDER BY t.id`,
		},
		{
			Name: "pair_steps", Words: "steps of the runs' histories that were made while marking alike", Key: []string{"run", "seq"},
			Links: []Link{link("pair", "pairs"), {[]string{"run", "seq"}, "mark_steps", []string{"run", "seq"}}},
			Fields: []Field{
				of("pair", "pair_id", "pair", "id of the pair"),
				{Name: "run", Type: "string", Words: "id of the run", Must: true, value: `(SELECT r.pub FROM run r JOIN mark_step s ON s.run_id = r.id WHERE s.id = t.step_id)`},
				{Name: "seq", Type: "integer", Words: "number of the step", Must: true, value: `(SELECT seq FROM mark_step WHERE id = t.step_id)`},
			},
			of: "pair_step", rows: `WHERE t.pair_id IN (SELECT id FROM pair WHERE run_a IN ` + theRuns + ` AND run_b IN ` + theRuns + `) ORDER BY t.pair_id, t.step_id`,
		},
	}
}
