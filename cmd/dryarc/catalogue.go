package main

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"text/tabwriter"

	"dryarc/audit/basis"
	"dryarc/audit/read"
	"dryarc/report"
)

type catalogueCommand struct {
	Project string `arg:"" optional:"" help:"Project file, whose register adds to the catalogue and overrides it."`
}

// Run lists the units and conductors in force.
func (c *catalogueCommand) Run(at surroundings) error {
	units, conductors := basis.Catalogue(), basis.Conductors()
	if c.Project != "" {
		project, err := read.Project(at.ctx, c.Project)
		if err != nil {
			return err
		}
		units, conductors = project.Units, project.Conductors
	}
	if err := listUnits(at.stdout, units); err != nil {
		return err
	}
	fmt.Fprintln(at.stdout)
	return listConductors(at.stdout, conductors)
}

func listUnits(w io.Writer, units []basis.Unit) error {
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "unit\tkind\trating kN\tspacing mm\tcreepage mm\tdiameter mm\tcoupling\tdry kV\tpuncture kV\tsource")
	for _, u := range units {
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\n", report.Visible(u.Name), u.Kind, figure(u.RatingKN), figure(u.SpacingMM), figure(u.CreepageMM),
			figure(u.DiameterMM), orDash(report.Visible(u.Coupling)), figure(u.DryKV), figure(u.PunctureKV), source(u.Clause))
	}
	return table.Flush()
}

func listConductors(w io.Writer, conductors []basis.Conductor) error {
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "conductor\tdiameter mm\tmass kg/m\trated strength kN\tarea mm2\tmodulus GPa\texpansion 1e-6/K\tedition\tsource of mass and diameter\tsource of strength")
	for _, c := range conductors {
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\n", report.Visible(c.Name), figure(c.DiameterMM), figure(c.MassKgPerM), figure(c.RatedStrengthKN),
			figure(math.Round(c.AreaMM2*10)/10), figure(c.ModulusGPa), figure(c.Expansion1e6PerK), orDash(c.Edition), source(c.Clause), source(c.StrengthClause))
	}
	return table.Flush()
}

func figure(v float64) string {
	if math.IsNaN(v) {
		return "–"
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}

func orDash(text string) string {
	if text == "" {
		return "–"
	}
	return text
}

func source(c basis.Clause) string {
	if c.IsZero() {
		return "register"
	}
	return c.String()
}
