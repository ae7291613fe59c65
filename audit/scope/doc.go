// Package scope looks at a project as it would be in the scenarios of its project file.
//
// A project that has been read enters, with the result of its audit as it stands; one look at each scenario leaves: the same checks on
// the rows as they would be, what newly falls short and what is mended by it, and the remedies it takes. Only lines that a scenario
// is about, and those beside them, are judged again; on all others nothing that a check is told has changed.
//
// A scenario is a screening. Whether towers, clearances and foundations bear it is an engineer's to decide.
package scope
