// Package door keeps who may come in: addresses with a one-time token, sessions
// that end, the passphrase of the local network as a slow hash, and the waits
// between attempts at it. It knows nothing of HTTP; package web puts it in
// front of the pages. Sessions live in memory: a restart ends them all.
//
// Tokens are kept as SHA-256 sums, so that looking one up takes no longer for a
// guess that begins right.
package door
