// Package table reads and writes landmark tables: which body point lies where
// on which frame. It knows four forms:
//
//   - our marks file, a small JSON document (ReadMarks, WriteMarks);
//   - a CSV table with one landmark on one frame per row (ReadCSV, WriteCSV),
//     which is also what --traces-out writes and --traces reads;
//   - COCO keypoints JSON, an open format (ReadCOCO), with a keypoint map where
//     the keypoint names are not ours (ParseKeypointMap).
//
// Read tells the three apart by their first bytes. docs/formats.md describes
// each form for people.
//
// Positions are in pixels of the upright, square-pixel picture, counted from
// its top-left corner, x right and y down; the middle of the first pixel is
// (0.5, 0.5). Whatever counts otherwise is converted on reading. Nothing here
// opens files or knows metres.
//
// Readers collect what is wrong, with line numbers, up to a limit, and return
// a *Problems; a table is either read whole or not at all.
package table
