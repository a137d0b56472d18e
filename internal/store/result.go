package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"math"

	"underkick/internal/record"
)

const resultColumns = `e.pub, (SELECT pub FROM run WHERE id = e.run_id), e.method, e.input_hash, e.word, e.sentence, e.body, e.created`

func scanResult(scan func(...any) error) (record.Result, error) {
	var e record.Result
	var text string
	err := scan(&e.ID, &e.RunID, &e.Method, &e.InputHash, &e.Word, &e.Sentence, &text, stamp{&e.Created})
	e.Body = json.RawMessage(text)
	return e, err
}

// AddResult keeps a result beside the run's older ones. The same run, method
// and input hash come to the same result: if it is there, it is returned as it
// stands.
func (s *Store) AddResult(ctx context.Context, e record.Result) (record.Result, error) {
	e.ID, e.Created = newID(), s.moment()
	err := s.write(ctx, "keep result", func(tx *sql.Tx) error {
		if err := e.Validate(); err != nil {
			return err
		}
		run, err := rowID(ctx, tx, "run", e.RunID)
		if err != nil {
			return err
		}
		res, err := tx.ExecContext(ctx, `INSERT INTO result (pub, run_id, method, input_hash, word, sentence, body, created)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8) ON CONFLICT (run_id, method, input_hash) DO NOTHING`,
			e.ID, run, e.Method, e.InputHash, e.Word, e.Sentence, string(e.Body), timeText(e.Created))
		if err != nil {
			return err
		}
		if n, err := res.RowsAffected(); err != nil {
			return err
		} else if n == 0 {
			e, err = readResult(ctx, tx, e.RunID, e.Method, e.InputHash)
			return err
		}
		return addValues(ctx, tx, e)
	})
	return e, err
}

func addValues(ctx context.Context, tx *sql.Tx, e record.Result) error {
	id, err := rowID(ctx, tx, "result", e.ID)
	if err != nil {
		return err
	}
	for i, v := range e.Values {
		_, err := tx.ExecContext(ctx, `INSERT INTO result_value (result_id, place, measure, unit, value, sd, low, high, n)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
			id, i, v.Measure, v.Unit, v.Value, known(v.SD), known(v.Low), known(v.High), v.N)
		if err != nil {
			return err
		}
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO result_brief (result_id, body) SELECT id, json_remove(body, '$.kicks') FROM result WHERE id = $1`, id)
	return err
}

// known turns NaN and infinity into NULL.
func known(v float64) sql.NullFloat64 {
	return sql.NullFloat64{Float64: v, Valid: !math.IsNaN(v) && !math.IsInf(v, 0)}
}

func orNaN(v sql.NullFloat64) float64 {
	if !v.Valid {
		return math.NaN()
	}
	return v.Float64
}

// Result returns the result of a run by method and input hash; ErrNotFound
// says that it has to be computed.
func (s *Store) Result(ctx context.Context, runID, method, inputHash string) (record.Result, error) {
	e, err := readResult(ctx, s.reader(ctx), runID, method, inputHash)
	return e, explain("read result", err)
}

func readResult(ctx context.Context, r reader, runID, method, inputHash string) (record.Result, error) {
	e, err := one(ctx, r, scanResult, `SELECT `+resultColumns+`
		FROM result e JOIN run r ON r.id = e.run_id WHERE r.pub = $1 AND e.method = $2 AND e.input_hash = $3`, runID, method, inputHash)
	if err != nil {
		return e, err
	}
	e.Values, err = readValues(ctx, r, e.ID)
	return e, err
}

// Results returns all results of a run, newest first.
func (s *Store) Results(ctx context.Context, runID string) ([]record.Result, error) {
	r := s.reader(ctx)
	list, err := many(ctx, r, scanResult, `SELECT `+resultColumns+`
		FROM result e JOIN run r ON r.id = e.run_id WHERE r.pub = $1 ORDER BY e.id DESC`, runID)
	for i := range list {
		if err == nil {
			list[i].Values, err = readValues(ctx, r, list[i].ID)
		}
	}
	return list, explain("list results", err)
}

func readValues(ctx context.Context, r reader, resultID string) ([]record.Value, error) {
	return many(ctx, r, scanValue, `SELECT `+valueColumns+`
		FROM result_value x JOIN result e ON e.id = x.result_id WHERE e.pub = $1 ORDER BY x.place`, resultID)
}

const valueColumns = `x.measure, x.unit, x.value, x.sd, x.low, x.high, x.n`

func scanValue(scan func(...any) error) (record.Value, error) {
	var v record.Value
	var sd, low, high sql.NullFloat64
	err := scan(&v.Measure, &v.Unit, &v.Value, &sd, &low, &high, &v.N)
	v.SD, v.Low, v.High = orNaN(sd), orNaN(low), orNaN(high)
	return v, err
}
