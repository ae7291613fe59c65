// Package history tells what changed since an earlier run. In go a result, and what the audit.json of an earlier run says of its
// exceptions; out come the state of each exception, the day on which it was first seen, what is no longer there with the reason,
// and the log of the runs.
//
// An exception is the same as one of the earlier run where their keys are (audit.Key): not the row, value or wording counts. Where
// several of a run share a key, as those of repeated rows, those with the same figures are the same ones, and of the rest the worst is the
// worst. A structure that has another number where it stood, and a line that has another name, keep what is known of them.
//
// A run compares with what the run before it left: all that it found, and of lines that it left out what it had been told. A
// run with the same as-of as the one before repeats it, and compares with what that one compared with. So each audit.json holds
// both sides: an exception says how it was where that differs (was), and what is cleared stands there as it was.
package history
