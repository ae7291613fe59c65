package report

import (
	"slices"
	"strings"

	"dryarc/audit"
)

// installedAt says what hangs where a location is: its own assembly, else the different ones of its structure, on its
// circuit and side where it names them.
func installedAt(r *audit.Result, e *audit.Location) string {
	if e.Structure < 0 {
		return ""
	}
	if e.Assembly >= 0 {
		return installed(r.Network.Assembly(uint32(e.Assembly)))
	}
	var all []string
	for _, row := range r.Network.AssemblyRows(e.Structure) {
		a := r.Network.Assembly(row)
		if e.Circuit != 0 && a.Circuit != e.Circuit || e.Side != audit.NoSide && a.Side != audit.NoSide && !a.Side.Serves(e.Side) {
			continue
		}
		if text := installed(a); !slices.Contains(all, text) {
			all = append(all, text)
		}
	}
	return strings.Join(all, "; ")
}

// installed describes an assembly: "tension, 2 strings of 13 × U120B".
func installed(a audit.Assembly) string {
	if a.Duty == audit.DutyUnknown {
		return a.Hanging()
	}
	return a.Duty.String() + ", " + a.Hanging()
}
