package audit

// SaidByRow tells whether a check does not concern an assembly by what its row states now, so that no other figure matters to it: its duty,
// that its strings hang in no V or are not parallel, or that none of their units is defective.
func (r *Result) SaidByRow(reason Reason, at *Location) bool {
	if at.Assembly < 0 {
		return false
	}
	row := r.Project.Assemblies.At(at.Assembly)
	switch reason {
	case IsJumper, CarriesNoPhase, NotSuspension, NoneOfThree, HasNoFittings:
		return row.Duty != DutyUnknown && !row.Faulty.Has(CellDuty)
	case NotVSet, VSetDoesNotSwing:
		return row.Arrangement != ArrangementUnknown && !row.Faulty.Has(CellArrangement)
	case NoneDefective:
		return row.Blank&BlankDefective == 0 && !row.Faulty.Has(CellDefective)
	case SingleString:
		return (row.Blank&BlankStrings == 0 || row.Arrangement == Single) && !row.Faulty.Has(CellStrings)
	}
	return false
}
