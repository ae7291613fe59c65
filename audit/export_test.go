package audit

// What tests of package audit_test look into.

// TestedOff is by how much figures beside a structure are off: the deviation, where it and those beside it stand along the line, their levels and
// their attachment heights.
type TestedOff struct {
	TurnDeg                      float64
	AlongM, GroundM, AttachmentM [3]float64
}

// OffBy is where an input brings a verdict that many standard errors towards its limit; false where it moves nothing.
func OffBy(check *Check, s *Subject, v *Verdict, input Uncertain, sigmas float64) (TestedOff, bool) {
	m := mover{check: check, base: s, verdict: *v, errs: check.Errs}
	by, _, moves := m.towards(check.movers(s, v), input, sigmas)
	return TestedOff{by[offTurn], [3]float64(by[offAlong:]), [3]float64(by[offGround:]), [3]float64(by[offAttachment:])}, moves
}
