package web

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"underkick/internal/record"
)

// readAbout takes the fields of the lesson itself over. One that the form does not have stays.
func readAbout(r *http.Request, b *record.LessonBody) {
	take := func(field string, set func(text string)) {
		if r.PostForm.Has(field) {
			set(strings.TrimSpace(r.PostFormValue(field)))
		}
	}
	take("title", func(s string) { b.Title = s })
	take("audience", func(s string) { b.Audience = record.Audience(s) })
	take("paper", func(s string) { b.Paper = record.Paper(s) })
	take("names", func(s string) { b.Names = record.NamesShown(s) })
	b.Soften = r.PostFormValue("soften") == "yes"
}

// readBlock takes the fields of a block over. One that the form does not have stays.
func readBlock(r *http.Request, b record.LessonBlock) record.LessonBlock {
	take := func(field string, set func(text string)) {
		if r.PostForm.Has(field) {
			set(r.PostFormValue(field))
		}
	}
	take("text", func(s string) { b.Text = strings.TrimSpace(strings.ReplaceAll(s, "\r\n", "\n")) })
	take("part", func(s string) { b.Part = record.KickPart(s) })
	take("curve", func(s string) { b.Curve = s })
	take("measure", func(s string) { b.Measure = s })
	take("drill", func(s string) { b.Drill = s })
	runs := make([]record.LessonRun, len(b.Runs))
	for i, run := range b.Runs {
		runs[i] = readRun(r, i, run)
	}
	if b.Runs = runs; len(runs) == 0 {
		b.Runs = nil
	}
	return b
}

// readRun takes the fields of a block's run over.
func readRun(r *http.Request, n int, run record.LessonRun) record.LessonRun {
	field := func(name string) string { return fmt.Sprintf("%s_%d", name, n) }
	if r.PostForm.Has(field("kick")) {
		run.Kick, _ = strconv.Atoi(r.PostFormValue(field("kick"))) // empty and nonsense: the usual kick
		run.Kick = max(run.Kick, 0)
	}
	if r.PostForm.Has(field("words")) {
		run.Words = strings.TrimSpace(r.PostFormValue(field("words")))
	}
	captions := map[string]string{}
	for moment, text := range run.Captions {
		captions[moment] = text
	}
	for _, moment := range momentsOf(record.WholePart) {
		name := field("caption_" + moment)
		if !r.PostForm.Has(name) {
			continue
		}
		if text := strings.TrimSpace(r.PostFormValue(name)); text != "" {
			captions[moment] = text
		} else {
			delete(captions, moment)
		}
	}
	if run.Captions = captions; len(captions) == 0 {
		run.Captions = nil
	}
	return run
}
