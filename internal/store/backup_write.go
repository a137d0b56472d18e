package store

import (
	"archive/zip"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"
)

// kept is a film as the database has it.
type kept struct {
	file, hash string
	size       int64
}

// WriteBackup writes the same archive to w, which cannot be read back here.
func (s *Store) WriteBackup(ctx context.Context, w io.Writer, progress func(BackupProgress)) (m Manifest, err error) {
	copied, err := s.copyDatabase(ctx)
	if err != nil {
		return m, explain("back up", err)
	}
	defer func() { err = errors.Join(err, os.Remove(copied)) }()
	m, err = s.writeBackup(ctx, w, copied, progress)
	return m, explain("back up", err)
}

func (s *Store) writeBackup(ctx context.Context, w io.Writer, copied string, progress func(BackupProgress)) (m Manifest, err error) {
	m = Manifest{Format: backupFormat, Edition: backupEdition, Created: s.moment().Format(time.RFC3339)}
	var films []kept
	if m.Schema, films, err = lookInside(ctx, copied, filmsThere); err != nil {
		return m, err
	}
	z := zip.NewWriter(w)
	in := packing{ctx: ctx, zip: z, tell: progress, at: BackupProgress{Doing: "writing", Parts: 1 + len(films)}}
	for _, f := range films {
		in.at.Total += f.size
	}
	part, err := in.add(databaseName, copied)
	if err != nil {
		return m, err
	}
	m.Parts = append(m.Parts, part)
	for _, f := range films {
		part, err := in.add(clipsName+"/"+f.file, filepath.Join(s.path(clipsName), filepath.Base(f.file)))
		if errors.Is(err, fs.ErrNotExist) {
			m.Missing = append(m.Missing, f.file)
			continue
		}
		if err != nil {
			return m, err
		}
		if part.SHA256 != f.hash {
			m.Missing = append(m.Missing, f.file)
		}
		m.Parts = append(m.Parts, part)
	}
	text, err := json.MarshalIndent(m, "", "  ")
	if err != nil {
		return m, err
	}
	e, err := z.Create(manifestName)
	if err != nil {
		return m, err
	}
	if _, err := e.Write(text); err != nil {
		return m, err
	}
	return m, z.Close()
}

// packing adds files to a backup.
type packing struct {
	ctx  context.Context
	zip  *zip.Writer
	at   BackupProgress
	tell func(BackupProgress)
}

// add copies a file as it is: films do not get smaller by packing.
func (p *packing) add(name, path string) (part BackupPart, err error) {
	f, err := os.Open(path)
	if err != nil {
		return part, err
	}
	defer func() { _ = f.Close() }() // read only: nothing to lose
	p.at.Part, p.at.Number = name, p.at.Number+1
	e, err := p.zip.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Store})
	if err != nil {
		return part, err
	}
	hash := sha256.New()
	n, err := io.CopyBuffer(io.MultiWriter(e, hash, p), untilDone{p.ctx, f}, make([]byte, 1<<20))
	return BackupPart{Name: name, Bytes: n, SHA256: hex.EncodeToString(hash.Sum(nil))}, err
}

// Write counts what passes and tells it; it implements io.Writer.
func (p *packing) Write(b []byte) (int, error) {
	p.at.Done += int64(len(b))
	if p.tell != nil {
		now := p.at
		now.Total = max(now.Total, now.Done) // the database is not counted before
		p.tell(now)
	}
	return len(b), nil
}

// filmsThere are the films that clips have. A film that was erased while its records were
// kept is not missing.
const filmsThere = `SELECT file, min(hash), min(size) FROM clip WHERE film_gone = '' GROUP BY file ORDER BY file`

// lookInside checks a database file without changing it and returns its schema
// version and the films that query finds; "" = none are asked for.
func lookInside(ctx context.Context, path, query string) (schema int64, films []kept, err error) {
	db, err := sql.Open("sqlite", dsn(path, true)+"&immutable=1")
	if err != nil {
		return 0, nil, err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	var sound string
	if err := db.QueryRowContext(ctx, `PRAGMA integrity_check(1)`).Scan(&sound); err != nil {
		return 0, nil, err
	}
	if sound != "ok" {
		return 0, nil, because(ErrDamaged, nil, "the database is damaged: %s", sound)
	}
	err = db.QueryRowContext(ctx, `SELECT max(version_id) FROM goose_db_version WHERE is_applied`).Scan(&schema)
	if err != nil || query == "" {
		return schema, nil, err
	}
	films, err = many(ctx, db, func(scan func(...any) error) (kept, error) {
		var k kept
		err := scan(&k.file, &k.hash, &k.size)
		return k, err
	}, query)
	return schema, films, err
}
