package main

import (
	"fmt"
	"strings"
	"testing"

	"dryarc/audit/read"
)

// The README's list of reference systems is made from their declarations.
func TestREADMEListsTheSystems(t *testing.T) {
	var lists [2]strings.Builder
	previous := ""
	for _, s := range read.ReferenceSystems() {
		list := &lists[0]
		if !s.Projected {
			list = &lists[1]
		}
		switch {
		case s.Name == previous:
			list.WriteString(", ")
		case list.Len() > 0:
			fmt.Fprintf(list, "; %s ", s.Name)
		default:
			fmt.Fprintf(list, "%s ", s.Name)
		}
		previous = s.Name
		fmt.Fprint(list, s.First)
		if s.Last > s.First {
			fmt.Fprintf(list, "–%d", s.Last)
		}
	}
	requireInREADME(t, "systems", fmt.Sprintf("| positions | EPSG codes |\n| --- | --- |\n| easting and northing, transformed to WGS 84 | %s |\n"+
		"| longitude and latitude, taken as WGS 84 | %s |\n", lists[0].String(), lists[1].String()))
}
