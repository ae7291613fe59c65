package read

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// daysOf is what is known of the defective units of a row with two dates once an inspection is joined.
func daysOf(t *testing.T, installed, seen, row string) string {
	b := newBase()
	b.assemblies[0] = append(b.assemblies[0], "Installed", "Inspected")
	b.assemblies[2] = append(b.assemblies[2], installed, seen)
	return defects(inspected(t, b, map[string]string{"inspections.csv": "Line,Structure,Phase,Date,Units broken\nL1,2,A," + row + "\n"}, inspectionsFile))
}

func TestInspectedBeforeByAnotherClock(t *testing.T) { // what was found a day before, by a clock of a zone, may be of what hangs there now
	require.Equal(t, "0 ?", daysOf(t, "2026-05-02", "", "2026-05-01T12:00:00Z,3"))
}

func TestInspectedAfterByAnotherClock(t *testing.T) { // two days later by a clock of a zone is not surely later
	require.Equal(t, "0 ?", daysOf(t, "", "2026-05-01", "2026-05-03T12:00:00Z,0"))
	require.Equal(t, "0 0*", daysOf(t, "", "2026-05-01", "2026-05-04T12:00:00Z,0"))
}

func TestConfidenceAsAsked(t *testing.T) { // as much as is asked for is enough
	b := newBase()
	b.project += "criteria: {inspection_confidence: 0.5}\n"
	n := inspected(t, b, map[string]string{"inspections.csv": "Line,Structure,Phase,Date,Units broken,Confidence\nL1,2,A,2026-05-01,3,0.5\n"}, inspectionsFile)
	require.Equal(t, int16(3), n.Project.Observed[1].Sure)
}

// A date of the register that is a time by the clock of a zone may be of another day where the line stands, so that an inspection of the day
// after is not known to be the later; nor is one of the day before known to be of what hung there then.
func TestDatesOfTheRegisterByAClock(t *testing.T) {
	for _, seen := range []string{"2026-03-13T23:00:00Z", "2026-03-14T01:00:00+02:00", "2026-03-13Z", "13.03.2026 11:00 pm UTC"} {
		require.Equal(t, "0 ?", daysOf(t, "", seen, "2026-03-14,0"), seen)
		require.Equal(t, "0 0*", daysOf(t, "", seen, "2026-03-15,0"), seen)
		require.Equal(t, "0 ?", daysOf(t, seen, "", "2026-03-12,3"), seen)
		require.Equal(t, "0 1", daysOf(t, seen, "", "2026-03-11,3"), seen)
	}
	require.Equal(t, "0 0*", daysOf(t, "", "2026-03-13T23:00:00", "2026-03-14,0"), "the clock is that of the line where none is stated")
}
