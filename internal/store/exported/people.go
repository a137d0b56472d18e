package exported

func people() []Table {
	return []Table{
		{
			Name: "squads", Words: "squads of the exported swimmers", Key: []string{"id"},
			Fields: []Field{
				own("id of the squad"),
				must(text("name", "name", "name of the squad")),
				{Name: "notes", Type: "string", Words: "notes; only in the export of a whole squad", value: `CASE WHEN t.id IN ` + theSquads + ` THEN nullif(t.notes, '') END`},
				{Name: "film_months", Type: "integer", Words: "months that films are kept after the visit; empty: no rule", value: `nullif(t.film_months, 0)`},
				must(moment("created", "created", "when it was noted down, UTC")),
			},
			of: "squad", rows: `WHERE t.id IN ` + theSquads + ` OR t.id IN (SELECT squad_id FROM swimmer WHERE id IN ` + theSwimmers + `) ORDER BY t.id`,
		},
		{
			Name: "swimmers", Words: "swimmers", Key: []string{"id"}, Links: []Link{link("squad", "squads")},
			Fields: []Field{
				own("id of the swimmer"),
				of("squad", "squad_id", "squad", "id of the squad"),
				must(text("name", "name", "name")),
				text("pseudonym", "pseudonym", "shown where others look on"),
				text("sex", "sex", "female or male: chooses the published body tables"),
				{Name: "birth_year", Type: "integer", Words: "year of birth", value: `nullif(t.birth_year, 0)`},
				known("height_m", "height_m", "m", "standing height, the newest"),
				day("height_on", "height_on", "when the height was measured"),
				known("mass_kg", "mass_kg", "kg", "body mass, the newest"),
				day("mass_on", "mass_on", "when the mass was measured"),
				text("level", "level", "beginner, club, regional, national, international"),
				{Name: "strokes", Type: "array", Words: "main strokes", value: `t.strokes`},
				text("habit", "habit", "prone or supine: how the swimmer usually kicks"),
				text("notes", "notes", "notes on the swimmer"),
				must(moment("created", "created", "when the swimmer was noted down, UTC")),
			},
			of: "swimmer", rows: `WHERE t.id IN ` + theSwimmers + ` ORDER BY t.id`,
		},
		{
			Name: "consents", Words: "what was allowed to be done with film of a swimmer", Key: []string{"id"}, Links: []Link{link("swimmer", "swimmers")},
			Fields: []Field{
				own("id of the consent"),
				of("swimmer", "swimmer_id", "swimmer", "id of the swimmer"),
				must(text("given_by", "given_by", "who gave it")),
				must(text("given_as", "given_as", "swimmer, or parent or guardian")),
				must(day("from_day", "on_date", "first day")),
				day("until_day", "until_date", "last day; empty: no end was named"),
				truth("filming", "filming", "to be filmed, and the film kept"),
				truth("in_squad", "squad", "to be shown in the squad"),
				truth("outside", "outside", "to be shown outside the squad"),
				day("withdrawn", "withdrawn", "from this day on it allows nothing; empty: it was not withdrawn"),
				text("notes", "notes", "notes on the consent"),
				must(moment("created", "created", "when it was noted down, UTC")),
			},
			of: "consent", rows: `WHERE t.swimmer_id IN ` + theSwimmers + ` ORDER BY t.id`,
		},
		{
			Name: "growth", Words: "heights and masses by day", Links: []Link{link("swimmer", "swimmers")},
			Fields: []Field{
				of("swimmer", "swimmer_id", "swimmer", "id of the swimmer"),
				day("on_day", "on_date", "day of measuring; empty: not known"),
				known("height_m", "height_m", "m", "standing height"),
				known("mass_kg", "mass_kg", "kg", "body mass"),
				must(moment("created", "created", "when it was noted down, UTC")),
			},
			of: "growth", rows: `WHERE t.swimmer_id IN ` + theSwimmers + ` ORDER BY t.swimmer_id, t.on_date`,
		},
	}
}
