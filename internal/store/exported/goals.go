package exported

func goals() []Table {
	return []Table{
		{
			Name: "goals", Words: "goals of a swimmer: what a measure should be by a day", Key: []string{"id"}, Links: []Link{link("swimmer", "swimmers")},
			Fields: []Field{
				own("id of the goal"),
				of("swimmer", "swimmer_id", "swimmer", "id of the swimmer"),
				must(text("measure", "measure", "id of the measure, as in measures")),
				must(moment("created", "created", "when it was set, UTC")),
			},
			of: "goal", rows: `WHERE t.swimmer_id IN ` + theSwimmers + ` ORDER BY t.id`,
		},
		{
			Name: "goal_versions", Words: "target and day of goals, and how they were changed; the last counts", Key: []string{"goal", "seq"}, Links: []Link{link("goal", "goals")},
			Fields: []Field{
				of("goal", "goal_id", "goal", "id of the goal"),
				count("seq", "seq", "number of the version"),
				must(text("sense", "sense", "at least, or at most")),
				{Name: "target", Type: "number", Words: "what the measure should be, in the measure's unit", Must: true, value: `t.target`},
				must(day("by_day", "on_date", "by when")),
				text("notes", "notes", "notes"),
				truth("removed", "removed", "the goal was given up"),
				text("who", "who", "who wrote it"),
				must(moment("at", "at", "when, UTC")),
			},
			of: "goal_version", rows: `WHERE t.goal_id IN (SELECT id FROM goal WHERE swimmer_id IN ` + theSwimmers + `) ORDER BY t.goal_id, t.seq`,
		},
	}
}
