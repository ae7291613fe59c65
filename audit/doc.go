// Package audit holds the vocabulary of an insulator audit and the run itself.
//
// Rows that a reader filled in (Project) enter. Arrange orders them into lines of structures with their
// assemblies (Network), Derive adds what geometry tells, and Assess puts every check to every subject.
// A Result leaves: the exceptions one by one, and everything else as tallies, so that "no exceptions" can
// never hide "not assessed".
//
// The package opens no file and prints nothing.
package audit
