package report

import (
	"testing"

	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// A type of which some are to be removed, nobody knows how many, has a row that says so, also where none of it is to be fitted.
func TestMaterialNamesWhatIsNotCounted(t *testing.T) {
	r := fixtureResult(t)
	job := remedy.Job{Remedies: []remedy.Remedy{{Fit: []remedy.Count{{Unit: "new", Count: 27}}, Remove: []remedy.Count{{Unit: "old", Count: 18}},
		Changes: []remedy.Change{{CountUnknown: true, Uncounted: []string{"old", remedy.UnknownType}}, {CountUnknown: true, Uncounted: []string{"old"}}}}}}
	w := workRow{job: &job}
	certain, _ := partsOf(r, &job.Remedies[0])
	w.takes.add(r, &certain)
	found := map[string]string{}
	for _, m := range materialRows(r, []workRow{w, w}) {
		if m.at < 0 {
			found[m.name] = m.notKnown()
			require.Equal(t, 2, m.structures, m.name)
		}
	}
	require.Equal(t, map[string]string{"new": "", "old": "to remove: count not known at 2 structures", remedy.UnknownType: "to remove: count not known at 2 structures"}, found)
}
