package main

import (
	"context"
	"fmt"
	"math"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/read"

	"github.com/stretchr/testify/require"
)

// subject is what a verdict is about. An assembly is known by its row, since a disturbed cell may change its phase, side
// or circuit; everything else by its place.
type subject struct {
	check, line, structure, to, circuit string
	side                                audit.Side
	row                                 audit.Source
}

func (s subject) String() string {
	text := s.line
	for _, part := range []string{s.structure, s.to, s.circuit, s.side.String()} {
		if part != "" {
			text += " " + part
		}
	}
	if s.row.Row > 0 {
		text += fmt.Sprint(" row ", s.row.Row)
	}
	return text
}

// finding is a verdict as the relations look at it.
type finding struct {
	subject
	outcome            audit.Outcome
	severity           audit.Severity
	reason             audit.Reason
	observed, required audit.Value
}

// sameFigures tells whether two findings rest on the same figures.
func (f *finding) sameFigures(other *finding) bool {
	return same(f.observed, other.observed) && same(f.required, other.required)
}

func same(a, b audit.Value) bool {
	return a.Word == b.Word && (math.Abs(a.Number-b.Number) <= 1e-9*math.Abs(a.Number) || math.IsNaN(a.Number) && math.IsNaN(b.Number))
}

func inFigures(v audit.Value) string {
	if v.Word != "" {
		return v.Word
	}
	return strconv.FormatFloat(v.Number, 'g', 6, 64)
}

// pointsAtFault tells whether the reason of a verdict sends the reader to the faults.
func (f *finding) pointsAtFault() bool {
	return strings.Contains(f.reason.String(), "see Faults") || strings.Contains(f.reason.String(), "not readable")
}

// outcomeRun is what one run found: every verdict, and the faults.
type outcomeRun struct {
	findings []finding
	faults   []audit.Fault
	tables   []audit.Table
}

// runInFolder reads and judges the project of a folder; room is used again for its findings. A run that is refused gives
// its error.
func runInFolder(folder string, room []finding) (*outcomeRun, error) {
	project, err := read.Project(context.Background(), filepath.Join(folder, "audit.yaml"))
	if err != nil {
		return nil, err
	}
	return runProject(project, room)
}

// runProject judges a project that has been read.
func runProject(project *audit.Project, room []finding) (*outcomeRun, error) {
	network, err := audit.Arrange(project)
	if err != nil {
		return nil, err
	}
	if err := audit.Derive(context.Background(), network, 1); err != nil {
		return nil, err
	}
	return runNetwork(network, room)
}

// runNetwork audits a network that is derived.
func runNetwork(network *audit.Network, room []finding) (*outcomeRun, error) {
	list, project := checks.All(), network.Project
	r := &outcomeRun{findings: room, faults: project.Faults.List(), tables: project.Tables}
	numbers := make([]string, network.StructureCount())
	for i := range numbers {
		numbers[i] = network.Number(i)
	}
	each := func(check int, at audit.Location, v audit.Verdict) {
		s := subject{check: list[check].ID, line: project.Symbols.Text(network.Lines[at.Line].Symbol)}
		if at.Structure >= 0 {
			s.structure = numbers[at.Structure]
		}
		if at.To >= 0 {
			s.to = numbers[at.To]
		}
		if at.Assembly >= 0 {
			s.row = project.Assemblies.Row(at.Assembly).Source
		} else {
			s.circuit, s.side = project.Symbols.Text(at.Circuit), at.Side
		}
		r.findings = append(r.findings, finding{subject: s, outcome: v.Outcome, severity: v.Severity, reason: v.Reason,
			observed: v.Observed, required: v.Required})
	}
	_, err := audit.Assess(context.Background(), network, list, audit.Options{Workers: 1, Each: each})
	return r, err
}

// tells tells whether a fault points at a cell.
func (r *outcomeRun) tells(c cell) bool {
	for _, fault := range r.faults {
		table := r.tables[fault.At.Table]
		if strings.HasPrefix(table.File, c.table+".") && int(fault.At.Row) == c.row && fault.Column == c.column {
			return true
		}
	}
	return false
}

// The verdicts that the relations compare are those that the run counts.
func TestEachVerdictIsCounted(t *testing.T) {
	in, folder := island(t), t.TempDir()
	in.writeAll(t, folder)
	project, err := read.Project(context.Background(), filepath.Join(folder, "audit.yaml"))
	require.NoError(t, err)
	network, err := audit.Arrange(project)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), network, 1))
	list := checks.All()
	counted := make([][4]int, len(list))
	result, err := audit.Assess(context.Background(), network, list, audit.Options{
		Each: func(check int, _ audit.Location, v audit.Verdict) { counted[check][v.Outcome]++ }})
	require.NoError(t, err)
	for i, c := range result.Coverage {
		require.Equal(t, [4]int{c.Meets, c.FallsShort, c.NotApplicable, c.NotAssessed}, counted[i], list[i].ID)
	}
}
