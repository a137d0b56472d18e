package exported

// wholeSquads is true where at least one squad is exported whole.
const wholeSquads = `json_array_length($2) > 0`

func practice() []Table {
	return []Table{
		{
			Name: "drills", Words: "the coach's own drills; only in the export of a whole squad", Key: []string{"id"},
			Fields: []Field{
				own("id of the drill"),
				text("copy_of", "copy_of", "drill it was copied from"),
				must(moment("created", "created", "when it was first kept, UTC")),
			},
			of: "drill", rows: `WHERE ` + wholeSquads + ` ORDER BY t.id`,
		},
		{
			Name: "drill_versions", Words: "history of the coach's own drills", Key: []string{"drill", "seq"}, Links: []Link{link("drill", "drills")},
			Fields: []Field{
				of("drill", "drill_id", "drill", "id of the drill"),
				count("seq", "seq", "number of the version"),
				object("body", "body", "the drill: title, serves, how, doses, cue, caution and so on"),
				truth("retired", "retired", "taken off the lists"),
				text("who", "who", "who wrote it"),
				must(moment("at", "at", "when, UTC")),
			},
			of: "drill_version", rows: `WHERE ` + wholeSquads + ` ORDER BY t.drill_id, t.seq`,
		},
		{
			Name: "given", Words: "practice given to a swimmer", Key: []string{"id"}, Links: []Link{link("swimmer", "swimmers"), link("run", "runs")},
			Fields: []Field{
				own("id"),
				of("swimmer", "swimmer_id", "swimmer", "id of the swimmer"),
				{Name: "run", Type: "string", Words: "id of the run it was given for; empty: none, or it was deleted", value: `(SELECT r.pub FROM run r WHERE r.id = t.run_id AND r.swimmer_id = t.swimmer_id)`},
				must(text("drill", "drill", "id of the drill")),
				object("body", "body", "the drill as it was when it was given"),
				must(text("chosen", "chosen", "rule, or coach")),
				must(text("why", "why", "why it was given")),
				must(moment("created", "created", "when, UTC")),
			},
			of: "given", rows: `WHERE t.swimmer_id IN ` + theSwimmers + ` ORDER BY t.id`,
		},
		{
			Name: "given_versions", Words: "dose and dates of practice given, and how they were changed; the last counts", Key: []string{"given", "seq"}, Links: []Link{link("given", "given")},
			Fields: []Field{
				of("given", "given_id", "given", "id of the practice given"),
				count("seq", "seq", "number of the version"),
				object("amount", "amount", "how much: repeats, kicks or seconds, rest, sessions a week"),
				must(day("from_day", "from_date", "first day")),
				count("weeks", "weeks", "for how many weeks"),
				must(day("retest_on", "retest_on", "when to film again")),
				text("notes", "notes", "notes"),
				day("ended", "ended", "when it was ended early; empty: it was not"),
				truth("removed", "removed", "taken back as a mistake"),
				text("who", "who", "who wrote it"),
				must(moment("at", "at", "when, UTC")),
			},
			of: "given_version", rows: `WHERE t.given_id IN (SELECT id FROM given WHERE swimmer_id IN ` + theSwimmers + `) ORDER BY t.given_id, t.seq`,
		},
	}
}
