// Package paper lays lessons and sheets out for paper: as the piece of a page, and as one file
// that holds its pictures, its style and its script and asks nothing of any network.
//
// A Document or a Sheet is finished when it comes here: every drawing is an SVG text, every
// picture an address that the reader can reach (of the pages, or a data: address), every
// sentence is written. What is laid out here is always ink on white paper.
package paper
