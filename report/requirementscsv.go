package report

import (
	"context"
	"io"

	"dryarc/audit"
)

// writeRequirementsCSV writes what every structure of the assessed lines needs, and what hangs there.
func writeRequirementsCSV(ctx context.Context, w io.Writer, r *audit.Result) error {
	t := newCSV(ctx, w, "line", "structure", "chainage_m", "role", "requires", "zone_class", "creepage_mm", "unit", "units", "length_mm",
		"governing_check", "rating_kn", "strings", "level_assumed", "unit_assumed", "units_installed", "other_strings", "run")
	needs, err := requirements(ctx, r)
	if err != nil {
		return err
	}
	for q := range needs {
		t.add(q.line, q.structure, q.chainageM, q.role, q.duty, q.class, q.creepageMM, q.unit, q.units, q.lengthMM,
			q.governs, q.ratingKN, q.strings, q.levelAssumed, q.unitAssumed, q.installedUnits, q.installed, r.Run.ID)
	}
	return t.end()
}
