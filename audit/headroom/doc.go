// Package headroom tells how far each line is from falling short.
//
// The result of an audit enters; curves leave: for each line, duty and check, and each quantity that drives the check, the share of
// assemblies that meet as the quantity rises and everything else stays, the values at which they fall short, and the structures that do
// so first. No rule stands here. What drives a check the check itself says (audit.Check.Drives), audit.Driven makes a subject as it would
// be with the quantity at another value, and the check judges it.
//
// Of each assembly the value is found up to which it meets. Where what is required rises in proportion to the quantity, or exponentially as
// with altitude, the value follows from the figures of one verdict, and two more confirm it: at the value the check meets, a hundred-millionth
// above it no more. Everywhere else the value is closed in on between one at which the check meets and one at which it does not, until
// they are a thousand-millionth apart; the one that meets counts. How many were found so a curve tells. That is exact where what meets has
// no gaps, which holds of sums of forces that are straight lines in tension and wind; the weight span of a catenary bends them by little.
//
// What rows say is believed as it is today. Files that state the value may be believed less, as where it is the very voltage that every row
// of the line was tested to, which is likely copied; or more, as a number of units that is a total by today's class e.
//
// A curve of voltage, specific creepage or a level holds at every value, since less is easier. One of tension, wind or altitude holds from
// today's value up: below it another limit may stand.
package headroom
