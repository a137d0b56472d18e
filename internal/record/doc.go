// Package record holds what is kept: squads and their swimmers, visits, clips,
// runs with their conditions, marks with their whole history, results, and the
// background work on them. It holds the values and the rules they must obey
// (Validate); how they are kept is the store's business.
//
// Conventions. ID fields are public ids: short random text made by the store,
// stable over the life of the record, safe in addresses and file names. An
// empty ID means not kept yet. Moments are UTC (see FormatTime), days are Date.
// SI units; picture positions are px of the upright, square-pixel picture from
// its top-left corner, x right, y down; frame numbers count from 0 in the order
// of showing. Zero means not known unless a field says otherwise.
//
// Validate returns nil or Faults, one entry per field that cannot be kept, so
// that a form can show each beside its field.
//
// The package is pure: it neither reads files nor the clock.
package record
