package basis

import "regexp"

// NESC277 is the rule by which the National Electrical Safety Code limits the loads on insulators to a share of their strength.
var NESC277 = Clause{Document: "NESC", Edition: "2002", Clause: "rule 277, p. 188", Tag: Published}

// FactorSource stands for the document from which the criteria take the factor between the load on an insulator and its rating.
var FactorSource = Clause{Document: "the document that the criteria name for the insulator factor", Tag: Published}

var namesNESC277 = regexp.MustCompile(`(?i)\bnesc\b.*\b277\b`)

// FactorRemark says for which loads the factors of a document hold, where that is known of it; empty where it is not. The document is named
// in the words of the project.
//
// Source: NESC, 2002 edition, p. 188 (published).
func FactorRemark(document string) string {
	if !namesNESC277.MatchString(document) {
		return ""
	}
	return "NESC 277 states its shares of the strength for the loads of rules 250, 251 and 252, but not for 250C, extreme wind (" + NESC277.String() + ")"
}
