// Package read opens the inputs of an audit and fills the types of package audit: the project file (YAML), structures
// and zones (GeoJSON) and the register (workbooks). It is the only package that opens inputs.
//
// What is wrong with the data is an audit.Fault of the project, and the row stays with the faulty field unknown. Only
// what makes an input useless stops the reading: a *ProjectFileError or an *InputError.
package read
