// Package risk ranks lines and structures by the probability that a string flashes over in one event.
//
// The result of an audit enters; leaves a ranking for each kind of stress, of lines and of structures, with two bounds, and what could not
// be assessed, counted by what it lacks. The kinds are pollution in one event of wetting, and one overvoltage of lightning or of
// switching. All parameters are the project's (audit.RiskRule) and the formulas those of audit/basis; where the project states no figure
// nothing is taken in its place.
//
// The bounds are the worst string alone, and more strings as if they were independent: of pollution all strings of the structure or the line,
// 1 − Π(1 − R), of an overvoltage as many as the project says are stressed at once, each as weak as the worst. Strings that are wetted or
// stressed together are not independent, so that the truth lies between. It is a ranking: how many events there are a year it does not know,
// and it promises no number of failures.
package risk
