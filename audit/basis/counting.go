package basis

// PhaseKVPerDisc is the phase voltage counted to one standard disc (common practice).
const PhaseKVPerDisc = 11.0

// PracticeFloor returns the number of standard discs below which a string is doubtful for its nominal voltage. It
// finds mistakes of a register and is no rule of design: usual strings are longer.
//
//	n = ceil(Un / √3 / 11)
//
// Un is the nominal voltage between phases in kV. Compare it with StandardDiscs of the string, so that other spacings
// than 146 mm count by their length. An unknown voltage gives 0.
//
// Source: common practice.
func PracticeFloor(nominalKV float64) int { return PracticeFloorAlong(PhaseToEarth(nominalKV)) }

// PracticeFloorAlong is PracticeFloor of the voltage in kV that stands along a string in service, which is not Un/√3 on every line.
//
//	n = ceil(U / 11)
//
// Source: common practice.
func PracticeFloorAlong(kV float64) int {
	if !(kV > 0) {
		return 0
	}
	return ceil(kV / PhaseKVPerDisc)
}
