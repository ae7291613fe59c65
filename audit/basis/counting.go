package basis

// PhaseKVPerDisc is the phase voltage counted to one standard disc (common practice).
const PhaseKVPerDisc = 11.0

// PracticeFloor returns the number of standard discs below which a string is doubtful for the voltage along it in service. It
// finds mistakes of a register and is no rule of design: usual strings are longer.
//
//	n = ceil(U / 11)
//
// U is in kV, of a three-phase line Un/√3. Compare it with StandardDiscs of the string, so that other spacings
// than 146 mm count by their length. An unknown voltage gives 0.
//
// Source: common practice.
func PracticeFloor(kV float64) int {
	if !(kV > 0) {
		return 0
	}
	return ceil(kV / PhaseKVPerDisc)
}
