package audit

// What tests of package audit_test look into.

// TestedOff is by how much figures beside a structure are off: the deviation, where it and those beside it stand along the line, their levels, their
// attachment heights and the tensions.
type TestedOff struct {
	TurnDeg                      float64
	AlongM, GroundM, AttachmentM [3]float64
	TensionShare                 float64
}

// OffBy is where an input brings a verdict that many standard errors towards its limit; false where it moves nothing.
func OffBy(check *Check, s *Subject, v *Verdict, input Uncertain, sigmas float64) (TestedOff, bool) {
	m := check.mover(s, v)
	by, _, moves := m.towards(check.movers(s, v), input, sigmas)
	return testedOff(&by), moves
}

// OffByAll is where all inputs bring the part of a verdict that decides it that many standard errors towards its limit.
func OffByAll(check *Check, s *Subject, v *Verdict, sigmas float64) TestedOff {
	by, _ := decisive(check.movers(s, v)).offBy(UncertainInputs, sigmas)
	return testedOff(&by)
}

func testedOff(by *off) TestedOff {
	return TestedOff{by[offTurn], [3]float64(by[offAlong:]), [3]float64(by[offGround:]), [3]float64(by[offAttachment:]), by[offTension]}
}
