// Package report makes the pieces that show kicks: stills with what is drawn on
// them, toe paths, curves over the phase of a kick, numbers with their bars, and
// the same numbers as JSON and CSV.
//
// The pieces are finished HTML or SVG text that pages place as they are. They
// carry classes and no colours, no ids, no style attributes and no scripts; see
// package chart. Words that a person reads follow docs/terms.md.
package report
