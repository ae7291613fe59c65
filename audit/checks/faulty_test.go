package checks_test

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

// What a faulty cell leaves unknown may not be judged by what stands in for it: each check that rests on it says so.
func TestFaultyCellsAreNotStoodInFor(t *testing.T) {
	set := func(cells ...audit.Cell) (s audit.Cells) {
		for _, c := range cells {
			s = s.With(c)
		}
		return s
	}
	unit := func(c audit.Cell) func(b *base) {
		return func(b *base) { b.UnitFaults = audit.WithFaultsOf(b.UnitFaults, b.of("U120B", 0).Unit, set(c)) }
	}
	line := func(c audit.Cell, unread ...func(*audit.LineRow)) func(b *base) {
		return func(b *base) {
			b.Lines[0].Faulty = set(c)
			for _, each := range unread {
				each(&b.Lines[0])
			}
		}
	}
	row := func(c audit.Cell) func(b *base) { return func(b *base) { b.rows(3)[0].Faulty = set(c) } }
	structure := func(c audit.Cell) func(b *base) { return func(b *base) { b.Structures.Row(2).Faulty = set(c) } }
	for name, c := range map[string]struct {
		overlay func(b *base)
		silent  []string
	}{
		"arrangement of a row": {row(audit.CellArrangement), []string{"strength", "strength-one-string-broken", "swing", "double-at-crossing"}},
		"creepage of a row":    {row(audit.CellCreepage), []string{"creepage", "odd-one-out"}},
		"rating of a row":      {row(audit.CellRating), []string{"strength"}},
		"length of a row":      {row(audit.CellLength), []string{"units-for-voltage"}},
		"kind of a unit":       {unit(audit.CellKind), []string{"lightning-withstand", "units-for-voltage", "pin-voltage"}},
		"diameter of a unit":   {unit(audit.CellDiameter), []string{"lightning-withstand", "wet-withstand"}},
		"average diameter":     {unit(audit.CellAverageDiameter), []string{"creepage"}},
		"weight of a unit":     {unit(audit.CellWeight), []string{"swing"}},
		"subconductors":        {line(audit.CellStrings, func(l *audit.LineRow) { l.Subconductors = -1 }), []string{"strength", "swing"}},
		"deviation limit":      {line(audit.CellDeviationLimit, func(l *audit.LineRow) { l.DeviationLimitDeg = math.NaN() }), []string{"tension-at-deviation"}},
		"limits of a line":     {line(audit.CellLimits, func(l *audit.LineRow) { l.SwingLimitDeg = math.NaN() }), []string{"swing"}},
		"limit of a structure": {structure(audit.CellDeviationLimit), []string{"tension-at-deviation"}},
		"conductor ahead":      {structure(audit.CellConductor), []string{"strength", "swing", "tension-at-uplift", "tension-at-change"}},
		"role of a structure":  {structure(audit.CellRole), []string{"tension-at-terminal", "tension-at-change", "strength"}},
		"attachment height":    {func(b *base) { structure(audit.CellAttachment)(b); b.Structures.Row(2).AttachmentM = math.NaN() }, []string{"swing", "tension-at-uplift"}},
		"a conductor's diameter": {func(b *base) {
			for i := range b.Conductors {
				b.ConductorFaults = audit.WithFaultsOf(b.ConductorFaults, i, set(audit.CellDiameter))
			}
		}, []string{"strength", "swing"}},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase(t)
			c.overlay(b)
			n, err := audit.Arrange(b.Project)
			require.NoError(t, err)
			require.NoError(t, audit.Derive(context.Background(), n, 1))
			list, silent := checks.All(), map[string]int{}
			_, err = audit.Assess(context.Background(), n, list, audit.Options{Workers: 1, Each: func(check int, at audit.Location, v audit.Verdict) {
				if at.Structure == 2 && v.Outcome == audit.NotAssessed && v.Reason == audit.FaultyField {
					silent[list[check].ID]++
				}
			}})
			require.NoError(t, err)
			for _, id := range c.silent {
				require.Positive(t, silent[id], id)
			}
		})
	}
}

// A level that cannot be read keeps back what reads it, and leaves every other verdict of its line as it was: a string too short for its site
// is said to be.
func TestLevelsThatCannotBeReadKeepBackWhatReadsThem(t *testing.T) {
	verdicts := func(line func(l *audit.LineRow)) map[string]int {
		b := newBase(t)
		b.rows(4)[0].UnitsPerString = 5
		b.rows(5)[0].Defective = 1
		line(&b.Lines[0])
		n, err := audit.Arrange(b.Project)
		require.NoError(t, err)
		require.NoError(t, audit.Derive(context.Background(), n, 1))
		list, found := checks.All(), map[string]int{}
		_, err = audit.Assess(context.Background(), n, list, audit.Options{Workers: 1, Each: func(check int, _ audit.Location, v audit.Verdict) {
			found[list[check].ID+": "+v.Outcome.String()+" "+v.Reason.String()]++
		}})
		require.NoError(t, err)
		return found
	}
	unread := func(l *audit.LineRow) { l.Faulty = l.Faulty.With(audit.CellTested) }
	sound := func(l *audit.LineRow) { l.HighestKV = math.NaN() } // which is 145 kV by the nominal voltage
	for name, c := range map[string]struct {
		line func(l *audit.LineRow)
		kept []string // that may read the level
	}{
		"lightning":            {func(l *audit.LineRow) { unread(l); l.LightningKV = math.NaN() }, []string{"lightning-withstand", "wet-withstand", "sound-units", "level-pair"}},
		"switching, range one": {unread, nil},
	} {
		t.Run(name, func(t *testing.T) {
			was, is := verdicts(sound), verdicts(func(l *audit.LineRow) { sound(l); c.line(l) })
			require.Positive(t, was["creepage: falls short "])
			for _, found := range []map[string]int{was, is} {
				for told := range found {
					id, said, _ := strings.Cut(told, ": ")
					if !slices.Contains(c.kept, id) {
						require.Equal(t, was[told], is[told], told)
					} else if _, today := is[told]; today {
						require.NotContains(t, []string{"meets ", "falls short "}, said, told)
					}
				}
			}
			for _, id := range c.kept {
				require.Positive(t, is[id+": not assessed "+audit.FaultyField.String()], id)
			}
		})
	}
	require.Positive(t, verdicts(func(l *audit.LineRow) { // of range two, where the switching level is asked for
		unread(l)
		l.NominalKV, l.HighestKV, l.LightningKV = 380, 420, 1425
	})["switching-withstand: not assessed "+audit.FaultyField.String()])
}
