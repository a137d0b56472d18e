package exported

func results() []Table {
	return []Table{
		{
			Name: "references", Words: "the run that a run is held against", Key: []string{"run"}, Links: []Link{link("run", "runs"), link("against", "runs")},
			Fields: []Field{
				onRun(),
				of("against", "against_id", "run", "id of the reference run"),
			},
			of: "reference", rows: `WHERE t.run_id IN ` + theRuns + ` AND t.against_id IN ` + theRuns + ` ORDER BY t.run_id`,
		},
		{
			Name: "results", Words: "what a method made of a run, with the finding; the newest of a run counts, older ones are kept", Key: []string{"id"}, Links: []Link{link("run", "runs")},
			Fields: []Field{
				own("id of the result"), onRun(),
				must(text("method", "method", "name and version of the method")),
				must(text("input_hash", "input_hash", "of everything the method was given")),
				text("finding_word", "word", "the finding in a word or two"),
				text("finding", "sentence", "sentence of the finding"),
				deep("body", "body", "the whole result with every kick, as the method writes it"),
				must(moment("created", "created", "when it was worked out, UTC")),
			},
			of: "result", rows: `WHERE t.run_id IN ` + theRuns + ` ORDER BY t.id`,
		},
		{
			Name: "measures", Words: "measures of a result over its counted kicks", Key: []string{"result", "measure"}, Links: []Link{link("result", "results"), link("run", "runs")},
			Fields: []Field{
				of("result", "result_id", "result", "id of the result"),
				{Name: "run", Type: "string", Words: "id of the run", Must: true, value: `(SELECT r.pub FROM run r JOIN result e ON e.run_id = r.id WHERE e.id = t.result_id)`},
				count("place", "place", "order in the summary"),
				must(text("measure", "measure", "id of the measure; docs/methods defines it")),
				text("unit", "unit", "unit of value, sd, low and high; empty or 1: none"),
				must(number("value", "value", "", "value, in the unit of the row")),
				number("sd", "sd", "", "standard deviation over the kicks, in the unit of the row"),
				number("low", "low", "", "lower end of the 95 % band, in the unit of the row"),
				number("high", "high", "", "upper end of the 95 % band, in the unit of the row"),
				count("kicks", "n", "kicks counted"),
			},
			of: "result_value", rows: `WHERE t.result_id IN (SELECT id FROM result WHERE run_id IN ` + theRuns + `) ORDER BY t.result_id, t.place`,
		},
		{
			Name: "estimates", Words: "what a model made of a run, or how its camera moved; can always be made again", Key: []string{"run", "method", "input_hash"}, Links: []Link{link("run", "runs")},
			Fields: []Field{
				onRun(),
				must(text("method", "method", "name and version of the method")),
				must(text("input_hash", "input_hash", "of everything the model was given")),
				deep("body", "body", "the estimate, as the method writes it"),
				must(moment("created", "created", "when it was made, UTC")),
			},
			of: "estimate", rows: `WHERE t.run_id IN ` + theRuns + ` ORDER BY t.run_id, t.id`,
		},
	}
}
