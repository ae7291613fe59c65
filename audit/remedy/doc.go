// Package remedy finds what to hang where the audit found a shortfall.
//
// An audit.Result enters; jobs leave, one for each structure with a shortfall: the smallest change after which every check
// that can be judged meets, and none that met before falls short. The checks of the audit judge the trials; no rule of
// theirs is written here. What is decided here is which changes are tried, in which order, and which of those that
// serve is taken. Apply puts jobs into a copy of the project, which audits like any other.
//
// A job is a proposal of a screening. Whether the structure bears it is an engineer's to decide.
package remedy
