// Package chart draws numbers as SVG text: curves on two axes (Plot) and one
// number on a line with its band (Bar).
//
// It knows axes, ticks and labels and nothing of what the numbers mean. All
// lengths are CSS pixels of the drawing's own view box, y down. Nothing is
// coloured here: every piece carries a class, and the page's style sheet gives
// the class its colour, so that one drawing serves light, dark and print. No
// style attribute and no script is written, and no id, so that any number of
// drawings can stand on one page under a strict content policy.
package chart
