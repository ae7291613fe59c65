package basis

// discRow is one line of a table of cap-and-pin units; a zero is a figure the table does not give.
type discRow struct {
	name                                     string
	ratingKN, diameterMM, spacingMM, creepMM float64
	coupling                                 string
	seen                                     bool // the row was seen in print
}

// discsIEC lists the ball and socket units of IEC 60305: failing load kN, diameter, spacing and creepage mm, coupling
// size. Value from memory (H); the U160 rows were seen in print (published). Creepage is a minimum, the diameter a
// maximum.
var discsIEC = [...]discRow{
	{"U40B", 40, 175, 110, 190, "11", false},
	{"U70BS", 70, 255, 127, 295, "16", false},
	{"U70BL", 70, 255, 146, 295, "16", false},
	{"U70BLP", 70, 280, 146, 440, "16", false},
	{"U100BS", 100, 255, 127, 295, "16", false},
	{"U100BL", 100, 255, 146, 295, "16", false},
	{"U100BLP", 100, 280, 146, 440, "16", false},
	{"U120B", 120, 255, 146, 295, "16", false},
	{"U120BP", 120, 280, 146, 440, "16", false},
	{"U160BS", 160, 280, 146, 315, "20", true},
	{"U160BSP", 160, 330, 146, 440, "20", true},
	{"U160BL", 160, 280, 170, 340, "20", true},
	{"U160BLP", 160, 330, 170, 525, "20", true},
	{"U210B", 210, 300, 170, 370, "20", false},
	{"U210BP", 210, 330, 170, 525, "20", false},
	{"U300B", 300, 330, 195, 390, "24", false},
	{"U300BP", 300, 400, 195, 590, "24", false},
	{"U400B", 400, 380, 205, 525, "28", false},
	{"U530B", 530, 380, 240, 600, "32", false},
}

// discsANSI lists units of ANSI C29.2 (value from memory): failing load kN, diameter, spacing and creepage mm. Only
// 52-3 has a diameter, that of the standard 146 × 254 mm disc; the others are unknown here.
var discsANSI = [...]discRow{
	{"52-1", 44.5, 0, 140, 178, "", false},
	{"52-3", 66.7, 254, 146, 292, "", false},
	{"52-5", 111.2, 0, 146, 279, "", false},
	{"52-8", 160.1, 0, 146, 279, "", false},
	{"52-11", 222.4, 0, 156, 279, "", false},
}

func (r discRow) unit(source Clause) Unit {
	u := UnknownUnit()
	u.Name, u.Kind, u.Coupling, u.Clause = r.name, CapAndPin, r.coupling, source
	u.RatingKN, u.SpacingMM, u.CreepageMM = r.ratingKN, r.spacingMM, r.creepMM
	if r.diameterMM > 0 {
		u.DiameterMM = r.diameterMM
	}
	return u
}

// Catalogue returns the cap-and-pin units of IEC 60305 and ANSI C29.2, in that order, as a slice of the caller's own.
// Each unit names its source. A register adds to it and overrides it.
//
// Source: IEC 60305 (value from memory, H; U160 rows published), ANSI C29.2 (value from memory).
func Catalogue() []Unit {
	units := make([]Unit, 0, len(discsIEC)+len(discsANSI))
	for _, r := range discsIEC {
		source := DiscDimensions
		if r.seen {
			source = DiscDimensionsSeen
		}
		units = append(units, r.unit(source))
	}
	for _, r := range discsANSI {
		u := r.unit(DiscDimensionsANSI)
		if r.name == "52-3" {
			// ANSI C29.2 (value from memory): flashover dry 80, wet 50, impulse +125/−130, puncture 110 kV.
			u.DryKV, u.WetKV, u.LightningKV, u.PunctureKV = 80, 50, 125, 110
		}
		units = append(units, u)
	}
	return units
}
