package report

import (
	"context"
	"fmt"
)

// writeRequirements writes the sheet of what every structure of the assessed lines needs, whatever hangs there.
func (b *book) writeRequirements(ctx context.Context) error {
	t := b.newTable(ctx, requirementsSheet, 2, []column{
		{"Line", 14, look{}},
		{"Structure", 11, look{bold: true}},
		{"Chainage (m)", 11, look{format: asTenths}},
		{"Role", 10, look{indent: 1}},
		{"Duty required", 11, look{}},
		{"Pollution class", 9, look{align: "center"}},
		{"Creepage required (mm)", 11, look{format: asTenths}},
		{"Reference unit", 13, look{indent: 1}},
		{"Units required", 9, look{format: asCount, bold: true}},
		{"String length (mm)", 10, look{format: asCount}},
		{"Governing check", 19, look{indent: 1}},
		{"Rating required (kN)", 10, look{format: asTenths}},
		{"Strings required", 9, look{format: asCount}},
		{"Level assumed", 9, look{}},
		{"Unit assumed", 9, look{}},
		{"Units installed", 9, look{format: asCount}},
		{"Other strings installed", 34, look{wrap: true, indent: 1}},
	})
	needs, err := requirements(ctx, b.result)
	if err != nil {
		return err
	}
	shown, of := 0, 0
	for q := range needs {
		of++
		if shown == b.limits.structures {
			continue
		}
		shown++
		var installed any = q.installedUnits
		if q.short() {
			installed = styled{q.installedUnits, lessLook}
		}
		t.add(q.line, q.structure, metres(q.chainageM), q.role, q.duty, q.class, metres(q.creepageMM), q.unit, q.units, q.lengthMM, q.governs,
			q.ratingKN, q.strings, yesOrBlank(q.levelAssumed), yesOrBlank(q.unitAssumed), installed, q.installed)
	}
	t.remarkCut(shown, of, "structures, the first; the output requirements.csv, on request, has all")
	if n := b.result.Network.StructureCount() - of; n > 0 {
		t.remark(fmt.Sprintf("%s of lines that were not chosen are left out.", counted(n, "structure", "structures")))
	}
	return t.finish()
}

func yesOrBlank(yes bool) string {
	if yes {
		return "yes"
	}
	return ""
}
