// Package report writes what an audit found.
//
// One *audit.Result enters; files leave, or none: a workbook for the people who act, a page for everybody, GeoJSON for the
// GIS, JSON for programs, what else is asked for by name, and a short summary for the terminal. Every file carries the run's
// id and is the same in bytes for the same result. The files of a run are staged in a folder and then put in their places
// together, so that a run that fails or is cut short leaves the earlier ones, and never a mixture.
//
// Each output is a function in a file of its own, and named in outputs or onRequest. What is said on a terminal goes through Visible.
package report

// Caution stands in every output that people read.
const Caution = "This is a screening: it points at insulators to look into. Local codes and a licensed engineer decide. " +
	"Nothing here is an approach distance or leave to work live."
