package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What tells which circuits and phases hang at structure 3 of line L0, or which zone it stands in, is lost from one night to the next and
// found again: nothing of that is a mend, and what was found keeps its first day.
func TestWhatAPlaceRestsOnIsLostAndFound(t *testing.T) {
	t.Parallel()
	const (
		phaseA, phaseB, phaseC = "L0,3,1,A,suspension,U120B,14\n", "L0,3,1,B,suspension,U120B,14\n", "L0,3,1,C,suspension,U120B,14\n"
		otherA                 = "L0,3,2,A,suspension,U120B,14\n"
		stated                 = "L0,1,ABC,132,145"
		inZone                 = `{"type":"Feature","properties":{"class":"d"},"geometry":{"type":"Polygon","coordinates":[[[10,49.9],[10.02,49.9],[10.02,50.1],[10,50.1],[10,49.9]]]}}` + "\n"
		around                 = `{"type":"Feature","properties":{"class":"b"},"geometry":{"type":"Polygon","coordinates":[[[9,49],[11,49],[11,60],[9,60],[9,49]]]}}` + "\n"
		far                    = `{"type":"Feature","properties":{"class":"b"},"geometry":{"type":"Polygon","coordinates":[[[20,49],[21,49],[21,50],[20,50],[20,49]]]}}` + "\n"
	)
	type edit struct{ file, from, to string }
	register := func(rows string) edit { return edit{"Assemblies.csv", phaseA + phaseB + phaseC, rows} }
	lines := func(to string) edit { return edit{"Lines.csv", stated, to} }
	second := func(row string) edit { return register(phaseA + phaseB + phaseC + row) }
	shortA, weakA := strings.Replace(otherA, ",14\n", ",8\n", 1), strings.Replace(phaseA, ",14", ",12", 1)
	blankA := strings.Replace(shortA, ",2,", ",,", 1)
	type night struct {
		edits []edit
		says  []string // check, state or reason, first day or what the detail says
	}
	lacking, two := register(phaseA+phaseB), lines("L0,2,ABC,132,145")
	zone := func(features string) []edit {
		return []edit{{"zones.geojson", "", far + features}, {"audit.yaml", "criteria:", "zones: {file: zones.geojson, properties: {class: class}}\ncriteria:"}}
	}
	for _, c := range []struct {
		name   string
		nights []night
	}{
		{"phases of the line", []night{
			{[]edit{lacking, lines(stated)}, []string{"phase-missing C new"}},
			{[]edit{register(phaseA + phaseB), lines("L0,1,,132,145")}, []string{"phase-missing C standing 2026-11-01"}}, // two of the three that the other structures name
			{[]edit{lacking, lines(stated)}, []string{"phase-missing C worse 2026-11-01"}},
		}},
		{"circuits of the line", []night{
			{[]edit{lines("L0,2,ABC,132,145")}, []string{"phase-missing A,B,C new"}},
			{[]edit{lines("L0,,ABC,132,145")}, []string{"phase-missing A,B,C not assessed Circuits: blank now"}},
			{[]edit{lines("L0,2,ABC,132,145")}, []string{"phase-missing A,B,C standing 2026-11-01"}},
			{[]edit{lines(stated)}, []string{"phase-missing A,B,C gone"}},
		}},
		{"phase of a row", []night{
			{[]edit{lacking}, []string{"phase-missing C new"}},
			{[]edit{register("L0,3,1,,suspension,U120B,14\n")}, []string{"phase-missing C not assessed Phase: blank now"}},
			{[]edit{register("L0,3,1,,suspension,U120B,14\n")}, []string{"phase-missing C not assessed Phase: blank now"}},
			{[]edit{lacking}, []string{"phase-missing C standing 2026-11-01"}},
		}},
		{"phase of a row, mended", []night{
			{[]edit{lacking}, []string{"phase-missing C new"}},
			{[]edit{register("L0,3,1,,suspension,U120B,14\n")}, []string{"phase-missing C not assessed Phase: blank now"}},
			{[]edit{register(phaseA + phaseB + phaseC)}, []string{"phase-missing C meets now 3, required 3"}},
		}},
		{"circuit of an assembly", []night{
			{[]edit{register(shortA + phaseB + phaseC)}, []string{"creepage A new"}},
			{[]edit{register(blankA + phaseB + phaseC)}, []string{"creepage A standing 2026-11-01"}},
			{[]edit{register(blankA + phaseB + phaseC)}, []string{"creepage A standing 2026-11-01"}},
			{[]edit{register(shortA + phaseB + phaseC)}, []string{"creepage A standing 2026-11-01"}},
		}},
		{"circuit of an assembly, mended", []night{
			{[]edit{register(shortA + phaseB + phaseC)}, []string{"creepage A new"}},
			{[]edit{register(blankA + phaseB + phaseC)}, []string{"creepage A standing 2026-11-01"}},
			{[]edit{register(otherA + phaseB + phaseC)}, []string{"creepage A meets now 4130"}},
		}},
		{"circuit of an assembly beside another", []night{
			{[]edit{second(shortA)}, []string{"creepage A new"}},
			{[]edit{second(blankA)}, []string{"creepage A not assessed Circuit: blank now", "creepage A new"}},
			{[]edit{second(shortA)}, []string{"creepage A not assessed a row of the register that cannot be read or placed may be it", "creepage A standing 2026-11-01"}}, // the line has no circuit 2
		}},
		{"circuit of an assembly beside another, on a line of two", []night{
			{[]edit{second(shortA), two}, []string{"creepage A new", "phase-missing B,C new"}},
			{[]edit{second(blankA), two}, []string{"creepage A standing 2026-11-01", "phase-missing B,C not assessed a field it needs is faulty"}},
			{[]edit{second(shortA), two}, []string{"creepage A standing 2026-11-01", "phase-missing B,C standing 2026-11-01"}},
		}},
		{"zone of a string", []night{
			{append(zone(inZone), register(weakA+phaseB+phaseC)), []string{"creepage A new"}},
			{append(zone(""), register(weakA+phaseB+phaseC)), []string{"creepage A rule changed a zone of class d held there, and the default class c holds now, which asks for less: now 3540, required 2904.9 mm"}},
		}},
		{"zone of a string, another around it", []night{
			{append(zone(around+inZone), register(weakA+phaseB+phaseC)), []string{"creepage A new"}},
			{append(zone(around), register(weakA+phaseB+phaseC)), []string{"creepage A rule changed a zone of class d held there, and zone of class b holds now"}},
		}},
		{"class of a zone", []night{
			{append(zone(inZone), register(weakA+phaseB+phaseC)), []string{"creepage A new"}},
			{append(zone(strings.Replace(inZone, `"d"`, `"?"`, 1)), register(weakA+phaseB+phaseC)), []string{"creepage A not assessed"}},
			{append(zone(strings.Replace(inZone, `"d"`, `""`, 1)), register(weakA+phaseB+phaseC)), []string{"creepage A not assessed"}},
			{append(zone(inZone), register(weakA+phaseB+phaseC)), []string{"creepage A standing 2026-11-01"}},
		}},
		{"string in a zone, mended", []night{
			{append(zone(inZone), register(weakA+phaseB+phaseC)), []string{"creepage A new"}},
			{append(zone(inZone), register(phaseA+phaseB+phaseC)), []string{"creepage A meets now 4130"}},
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			y := yearOfOneLine(t)
			for k, night := range c.nights {
				y.write()
				for _, e := range night.edits {
					if e.from == "" {
						y.put(e.file, e.to)
						continue
					}
					y.edit(e.file, e.from, e.to)
				}
				y.asOf = "2026-11-0" + string(rune('1'+k))
				got := y.saidOf("3")
				t.Log(y.asOf, got)
			night:
				for _, want := range night.says {
					for _, text := range got {
						if strings.HasPrefix(text, want) {
							continue night
						}
					}
					require.Fail(t, "not said", "%s: %q of %q", y.asOf, want, got)
				}
				require.Len(t, got, len(night.says))
			}
		})
	}
}

// A side without assemblies is not there any more once the assemblies do not say their side, be the cell blank or the column gone: that is
// nothing cleared, and it stands again when the side is stated.
func TestASideIsLostAndFound(t *testing.T) {
	const rows = "L0,3,1,A,suspension,U120B,14\nL0,3,1,B,suspension,U120B,14\nL0,3,1,C,suspension,U120B,14\n"
	y := yearOfOneLine(t)
	night := func(day int, side, heading string) string {
		y.write()
		y.edit("Assemblies.csv", rows, strings.ReplaceAll(strings.ReplaceAll(rows, ",suspension", ",tension"), ",14\n", ",14,"+side+"\n"))
		y.edit("Assemblies.csv", "Units per string\n", "Units per string,"+heading+"\n")
		said := y.auditBy("side-missing", day)
		return said.inWords()
	}
	require.Equal(t, "new 2026-03-01", night(1, "ahead", "Side"))
	require.Equal(t, "not assessed 2026-03-02", night(2, "", "Side"))
	require.Equal(t, "not assessed 2026-03-02", night(3, "", "Owner"))
	require.Equal(t, "standing 2026-03-01", night(4, "ahead", "Side"))
}
