package audit

// SaidByRow tells whether a check does not concern an assembly by what its row states now, so that no other figure matters to it: its duty, or
// that its strings hang in no V or are not parallel.
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
	case SingleString:
		return (row.Blank&BlankStrings == 0 || row.Arrangement == Single) && !row.Faulty.Has(CellStrings)
	}
	return false
}

// SaysNoneDefective tells whether the row of an assembly states that none of its units is defective, whatever an inspection saw.
func (r *Result) SaysNoneDefective(at *Location) bool {
	if at.Assembly < 0 {
		return false
	}
	row := r.Project.Assemblies.At(at.Assembly)
	return row.Defective == 0 && row.Blank&BlankDefective == 0 && !row.Faulty.Has(CellDefective)
}
