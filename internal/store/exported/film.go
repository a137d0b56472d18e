package exported

func film() []Table {
	return []Table{visits(), clips(), runs()}
}

func visits() Table {
	return Table{
		Name: "visits", Words: "filming occasions", Key: []string{"id"}, Links: []Link{link("squad", "squads")},
		Fields: []Field{
			own("id of the visit"),
			{Name: "squad", Type: "string", Words: "id of the squad; empty where it is none of the exported", value: `CASE WHEN t.squad_id IN ` + theSquads + ` OR t.squad_id IN (SELECT squad_id FROM swimmer WHERE id IN ` + theSwimmers + `) THEN (SELECT pub FROM squad WHERE id = t.squad_id) END`},
			must(day("on_day", "on_date", "day")),
			text("pool", "pool", "pool"),
			{Name: "notes", Type: "string", Words: "notes; only in the export of a whole squad", value: `CASE WHEN t.squad_id IN ` + theSquads + ` THEN nullif(t.notes, '') END`},
			must(moment("created", "created", "when it was noted down, UTC")),
		},
		of: "visit", rows: `WHERE t.squad_id IN ` + theSquads + ` OR t.id IN (SELECT visit_id FROM clip WHERE id IN ` + theClips + `) ORDER BY t.id`,
	}
}

func clips() Table {
	return Table{
		Name: "clips", Words: "film files", Key: []string{"id"}, Links: []Link{link("visit", "visits"), link("swimmer", "swimmers")},
		Fields: []Field{
			own("id of the clip"),
			of("visit", "visit_id", "visit", "id of the visit"),
			{Name: "swimmer", Type: "string", Words: "id of the swimmer it was brought in for; empty: another than the exported", value: `CASE WHEN t.swimmer_id IN ` + theSwimmers + ` THEN (SELECT pub FROM swimmer WHERE id = t.swimmer_id) END`},
			must(text("sha256", "hash", "SHA-256 of the film, 64 hex digits")),
			must(text("file", "file", "name of the film; with the export of films, the file films/NAME")),
			must(text("name", "name", "name the file had when it was brought in")),
			{Name: "bytes", Type: "integer", Unit: "B", Words: "length of the film", Must: true, value: `t.size`},
			{Name: "width_px", Type: "integer", Unit: "px", Words: "width of the picture; empty: the film was not read", value: `nullif(t.width_px, 0)`},
			{Name: "height_px", Type: "integer", Unit: "px", Words: "height of the picture; empty: the film was not read", value: `nullif(t.height_px, 0)`},
			{Name: "frames", Type: "integer", Words: "pictures; empty: the film was not read", value: `nullif(t.frames, 0)`},
			known("duration_s", "duration_s", "s", "from the first picture to the end of the last, in the film's own time"),
			known("mean_fps", "mean_fps", "1/s", "pictures per second over the whole"),
			known("nominal_fps", "nominal_fps", "1/s", "as the file states it"),
			known("tagged_fps", "tagged_fps", "1/s", "rate at which the file says it was taken"),
			text("codec", "codec", "how the film is packed"),
			text("engine", "engine", "film engine that read it"),
			{Name: "warnings", Type: "array", Words: "what results depend on: code, text", value: `t.warnings`},
			{Name: "true_fps", Type: "number", Unit: "1/s", Words: "rate at which it was really taken; empty: it plays at true speed", value: `nullif(t.true_fps, 0)`},
			truth("fps_confirmed", "fps_confirmed", "a person looked at true_fps"),
			moment("film_gone", "film_gone", "when the film was erased while its records were kept, UTC; empty: it was not"),
			must(moment("created", "created", "when it was brought in, UTC")),
		},
		of: "clip", rows: `WHERE t.id IN ` + theClips + ` OR t.visit_id IN (SELECT id FROM visit WHERE squad_id IN ` + theSquads + `) ORDER BY t.id`,
	}
}

func runs() Table {
	return Table{
		Name: "runs", Words: "underwater passes, with their conditions and scale", Key: []string{"id"}, Links: []Link{link("clip", "clips"), link("swimmer", "swimmers")},
		Fields: []Field{
			own("id of the run"),
			of("clip", "clip_id", "clip", "id of the clip"),
			of("swimmer", "swimmer_id", "swimmer", "id of the swimmer"),
			count("from_frame", "from_frame", "first frame, counted from 0"),
			count("to_frame", "to_frame", "last frame, included"),
			text("effort", "effort", "easy, race, max"),
			text("start", "start", "push-off, still, dive"),
			text("position", "position", "prone, supine, side"),
			known("depth_m", "depth_m", "m", "depth of the hip"),
			text("contact", "contact", "touched during the kicks: none, surface, wall"),
			text("equipment", "equipment", "fins, snorkel and so on, in words"),
			{Name: "repeat", Type: "integer", Words: "number within the set; empty: not numbered", value: `nullif(t.repeat_no, 0)`},
			text("marked_by", "marked_by", "who marked it"),
			text("scale_kind", "scale_kind", "known-length, plane, height; empty: not set"),
			{Name: "scale_length_m", Type: "number", Unit: "m", Words: "the known length; empty: the scale is of another kind", value: `CASE WHEN t.scale_kind = 'known-length' THEN json_extract(t.scale, '$.length_m') END`},
			{Name: "scale_steady", Type: "boolean", Words: "the camera moved: the scale follows it", Must: true, value: `coalesce(json_extract(t.scale, '$.steady'), 0)`},
			deep("scale", "scale", "the scale: length_m, frame, points_px, plane, lens, steady"),
			{Name: "true_fps", Type: "number", Unit: "1/s", Words: "as in clips, for this run alone; empty: the clip's", value: `nullif(t.true_fps, 0)`},
			text("notes", "notes", "notes on the run"),
			text("set_aside", "aside", "why it is left out of lists, trends and verdicts; empty: it counts"),
			count("marks", "mark_count", "marks that stand"),
			must(moment("created", "created", "when it was noted down, UTC")),
		},
		of: "run", rows: `WHERE t.id IN ` + theRuns + ` ORDER BY t.id`,
	}
}
