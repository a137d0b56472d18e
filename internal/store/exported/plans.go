package exported

func plans() []Table {
	return append([]Table{
		{
			Name: "plans", Words: "plans of walls and tempo ladders", Key: []string{"id"}, Links: []Link{link("swimmer", "swimmers")},
			Fields: []Field{
				own("id of the plan"),
				of("swimmer", "swimmer_id", "swimmer", "id of the swimmer"),
				must(text("kind", "kind", "walls or ladder")),
				must(moment("created", "created", "when it was first kept, UTC")),
			},
			of: "plan", rows: `WHERE t.swimmer_id IN ` + theSwimmers + ` ORDER BY t.id`,
		},
		{
			Name: "plan_versions", Words: "history of the plans; undo and redo are versions too", Key: []string{"plan", "seq"}, Links: []Link{link("plan", "plans")},
			Fields: []Field{
				of("plan", "plan_id", "plan", "id of the plan"),
				count("seq", "seq", "number of the version"),
				must(text("act", "act", "keep, remove, undo, redo")),
				text("name", "name", "name of the plan; empty but for keep"),
				object("body", "body", "what was typed; docs/formats.md, Walls and Tempo ladder"),
				text("who", "who", "who did it"),
				must(moment("at", "at", "when, UTC")),
			},
			of: "plan_version", rows: `WHERE t.plan_id IN (SELECT id FROM plan WHERE swimmer_id IN ` + theSwimmers + `) ORDER BY t.plan_id, t.seq`,
		},
	}, lessons()...)
}

func lessons() []Table {
	return []Table{
		{
			Name: "lessons", Words: "teaching sheets; only in the export of a whole squad, since they may show several swimmers", Key: []string{"id"}, Links: []Link{link("squad", "squads")},
			Fields: []Field{
				own("id of the lesson"),
				of("squad", "squad_id", "squad", "id of the squad"),
				must(moment("created", "created", "when it was first kept, UTC")),
			},
			of: "lesson", rows: `WHERE t.squad_id IN ` + theSquads + ` ORDER BY t.id`,
		},
		{
			Name: "lesson_versions", Words: "history of the lessons; undo and redo are versions too", Key: []string{"lesson", "seq"}, Links: []Link{link("lesson", "lessons")},
			Fields: []Field{
				of("lesson", "lesson_id", "lesson", "id of the lesson"),
				count("seq", "seq", "number of the version"),
				must(text("act", "act", "keep, remove, undo, redo")),
				deep("body", "body", "what stands on the sheet and for whom; runs by their id"),
				must(moment("at", "at", "when, UTC")),
			},
			of: "lesson_version", rows: `WHERE t.lesson_id IN (SELECT id FROM lesson WHERE squad_id IN ` + theSquads + `) ORDER BY t.lesson_id, t.seq`,
		},
	}
}
