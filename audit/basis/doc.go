// Package basis holds the published formulas and tables an audit of insulators rests on, as pure functions:
// pollution and creepage, withstand and altitude, unit counts, voltage distribution, strength, conductor mechanics,
// the limits of practice, and the catalogues of insulator units and conductors. It is their only home: what calls it
// chooses inputs, compares and words, and a formula that no command reaches does not stay.
//
// Numbers enter and numbers leave. The package opens no files, keeps no state and knows nothing of lines or registers.
// Voltages are kV r.m.s. (impulses kV peak), insulator dimensions mm, spans and heights m, forces kN or N as the name
// says, angles degrees. An unknown number is NaN; it makes the result NaN, false or an error, never a guess.
//
// Every number stands beside its source and one of four tags: published (seen in the document named), value from
// memory (recalled from the document named; H sure, M fairly sure), common practice, computed.
//
// The results screen a register for doubtful insulators. They are no design, no approach distance and no permission
// to work live: the local code and a licensed engineer decide.
package basis
