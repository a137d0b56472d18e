// Package store keeps records in a data folder and reads them back:
//
//	underkick.db     SQLite, everything but the films
//	clips/           films, unchanged, named by the SHA-256 of their content
//	cache/           what can be made again (CacheDir); free to delete
//	backups/         copies of the database made before an upgrade
//	underkick.lock   held by the one process that has the folder open
//
// Begin at Open. There is one file per kind of record. Every method takes a
// context first, checks what it is given with the record's Validate (the
// faults come back as record.Faults), and returns ErrNotFound when a record
// that is asked for is not there. A method that returns without an error has
// written what it says; killing the process afterwards does not lose it.
//
// Public ids go in and out; row numbers stay inside. Add methods ignore the ID
// and Created of what they are given and return the record with both set.
//
// Several writes become one with Together. Reads outside of it see the last
// committed state and never wait for a writer.
package store
