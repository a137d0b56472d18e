// Package house holds no code of the product, only the tests that keep its
// structure: which package may import which, and what must never be committed.
package house
