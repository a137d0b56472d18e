// Package demo is an invented squad whose clips were rendered, not filmed, so that the
// truth of every clip is known: where each landmark is in each frame, and what a perfect
// measurement would find.
//
// People, club, pools and data are invented. The kicks are plausible, not measured; hip,
// pitch and speed follow from package swim, so that a clip's speed is the model's for its
// kick. Films, truths and marks are embedded; Render makes them again.
package demo
