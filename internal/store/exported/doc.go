// Package exported is the dictionary of what leaves the program as tables: for every
// table of the database its name outside, its key, its links and, for every column,
// type, unit and meaning, with the SQL that reads it. It holds no data and opens nothing;
// package store runs the SQL, package poolside writes the files.
//
// A column that is not here is not exported. A test walks the schema and fails on a
// column that is neither here nor a row number, and on a table that is neither here nor
// named in LeftOut.
package exported
