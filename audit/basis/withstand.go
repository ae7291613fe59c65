package basis

// Standard deviations of the 50 % flashover voltage as a share of it (published; IEC 60071-2:2018).
const (
	LightningSigma = 0.03
	SwitchingSigma = 0.06
)

// WetShare is the share of the wet flashover voltage that counts as wet power frequency withstand (common practice; a
// default the user can override).
const WetShare = 0.90

// WithstandSigmas is the number of standard deviations from the 50 % flashover voltage down to the 90 % withstand voltage
// (published; IEC 60071-2:2018).
const WithstandSigmas = 1.28

// WithstandFromU50 returns the 90 % withstand voltage of a 50 % flashover voltage.
//
//	Uw = U50·(1 − 1.28·σ)
//
// sigma is the standard deviation as a share of U50: LightningSigma gives 0.9616, SwitchingSigma 0.9232.
//
// Source: IEC 60071-2:2018 (published).
func WithstandFromU50(u50KV, sigma float64) float64 { return u50KV * (1 - WithstandSigmas*sigma) }

// U50FromWithstand is the other way round: the 50 % flashover voltage of a 90 % withstand voltage.
//
//	U50 = Uw/(1 − 1.28·σ)
//
// Source: IEC 60071-2:2018 (published).
func U50FromWithstand(withstandKV, sigma float64) float64 {
	return withstandKV / (1 - WithstandSigmas*sigma)
}

// RequiredWithstand returns the withstand voltage at sea level that a site asks of a string, in kV.
//
//	U_level · Ka
//
// levelKV is the level of the line and ka the factor of AltitudeFactor.
//
// Source: IEC 60071-2:2018, clause 6.2.2 (published).
func RequiredWithstand(levelKV, ka float64) float64 { return levelKV * ka }

// LightningWithstand returns the lightning impulse withstand of a string of discs at sea level in kV peak, on the
// smaller polarity of its flashover. Outside the table it is false, see StringFlashover.
//
//	Uw = min(U50+, U50−)·0.9616
//
// Source: table of RUS Bulletin 1724E-200 chapter 8 (value from memory, H to 12 units, M above).
func LightningWithstand(units int, spacingMM, diameterMM float64) (withstandKV float64, ok bool) {
	f, ok := StringFlashover(units, spacingMM, diameterMM)
	return WithstandFromU50(f.LightningKV(), LightningSigma), ok
}

// WetWithstand returns the wet power frequency withstand of a string of discs at sea level in kV r.m.s. as a share of
// its wet flashover, WetShare unless the user states another. Outside the table it is false: there is no wet verdict
// beyond the table, and none in range II.
//
//	Uw = share · wet flashover
//
// Source: common practice on the table of RUS Bulletin 1724E-200 chapter 8 (value from memory).
func WetWithstand(units int, spacingMM, diameterMM, share float64) (withstandKV float64, ok bool) {
	f, ok := StringFlashover(units, spacingMM, diameterMM)
	return share * f.WetKV, ok
}
