package basis

// Class is a site pollution severity class of IEC TS 60815-1; a greater class is a worse site.
type Class uint8

// The classes from very light (a) to very heavy (e). Class f was added by an edition of 2025 that was not seen: it has
// no specific creepage here and needs the user's own figure.
const (
	ClassUnknown Class = iota
	ClassA
	ClassB
	ClassC
	ClassD
	ClassE
	ClassF
)

// pollutionRow is one line of the class table.
type pollutionRow struct {
	letter, name, level string
	unified             float64 // mm/kV on Um/√3; 0 where the table has none
	level1986           float64 // mm/kV on Um
}

// pollutionTable is indexed by Class. Unified values: IEC TS 60815-1:2008 (published). Levels I to IV: IEC 815:1986
// (published). Class a on the 1986 basis is 22.0/√3 = 12.7 (computed): that edition has no level below I.
var pollutionTable = [...]pollutionRow{
	ClassUnknown: {},
	ClassA:       {"a", "very light", "", 22.0, 12.7},
	ClassB:       {"b", "light", "I", 27.8, 16},
	ClassC:       {"c", "medium", "II", 34.7, 20},
	ClassD:       {"d", "heavy", "III", 43.3, 25},
	ClassE:       {"e", "very heavy", "IV", 53.7, 31},
	ClassF:       {"f", "class f", "", 0, 0},
}

func (c Class) row() pollutionRow {
	if int(c) >= len(pollutionTable) {
		return pollutionRow{}
	}
	return pollutionTable[c]
}

// String returns the letter of the class, "unknown" if there is none.
func (c Class) String() string {
	if letter := c.row().letter; letter != "" {
		return letter
	}
	return "unknown"
}

// Name returns the name of the class, "light" for b, and an empty text for an unknown class.
func (c Class) Name() string { return c.row().name }

// Level1986 returns the pollution level of IEC 815:1986, "I" to "IV", and an empty text where that edition has none.
func (c Class) Level1986() string { return c.row().level }

// Worse returns the class one step worse. Class e stays e, because class f has no value of its own; f stays f, and an
// unknown class stays unknown.
func (c Class) Worse() Class {
	if c >= ClassA && c < ClassE {
		return c + 1
	}
	return c
}

// UnifiedSpecificCreepage returns RUSCD, the reference unified specific creepage distance in mm per kV of the phase to
// earth voltage Um/√3. Class f and an unknown class are false.
//
// Source: IEC TS 60815-1:2008 (published).
func UnifiedSpecificCreepage(c Class) (mmPerKV float64, ok bool) {
	v := c.row().unified
	return v, v > 0
}

// SpecificCreepage1986 returns the specific creepage distance of IEC 815:1986 in mm per kV of the highest voltage Um.
// Class a, for which that edition has no level, is 12.7 and has to be shown with a note. Class f and an unknown class
// are false.
//
// Source: IEC 815:1986 (published); class a is 22.0/√3 (computed).
func SpecificCreepage1986(c Class) (mmPerKV float64, ok bool) {
	v := c.row().level1986
	return v, v > 0
}
