package read

import (
	"context"
	"fmt"
	"math"

	"dryarc/audit"
)

// ownZones are the zones of a scenario that has a file of them, which take the place of those of the project on its lines.
type ownZones struct {
	in     zoneInput
	zones  []audit.Zone
	faults audit.Faults
}

// withZones are the scenarios whose zones files are read.
func (f *projectFile) withZones() (list []*overlay) {
	for _, s := range f.scenarios {
		if f.forScope && s.zones != nil {
			list = append(list, s)
		}
	}
	return list
}

// read reads the zones as those of the project are read, into tables of the project. Faults stay apart, since they are none of today. A map
// that lies far from every structure is an error: all would fall to the default class.
func (z *ownZones) read(ctx context.Context, f *half, p *audit.Project, structures extent) error {
	ofProject, faults := p.Zones, p.Faults
	p.Zones, p.Faults = nil, audit.Faults{}
	defer func() { p.Zones, p.Faults = ofProject, faults }()
	if err := readZones(ctx, f, &z.in, p, structures); err != nil {
		return err
	}
	distrustExchanged(p, structures.Bound)
	nearest := math.Inf(1)
	for i := range p.Zones {
		for _, polygon := range p.Zones[i].Polygons {
			nearest = min(nearest, apart(structures.Bound, polygon.Bound()))
		}
	}
	if nearest > farDegrees {
		message := "has no zone"
		if len(p.Zones) > 0 {
			message = fmt.Sprintf("has no zone nearer than %.0f degrees to any structure", nearest)
		}
		return &InputError{File: z.in.files[0], Message: message + "; a scenario looks at its lines in the zones of this file", Hint: "give the zones as they would be along the lines"}
	}
	doubtZonesApart(p)
	z.zones, z.faults = p.Zones, p.Faults
	return nil
}

// words say in an output which zones they are.
func (z *ownZones) words() string { return "the zones of " + z.in.of() }

// notes say what of the files could not be used: how many faults they have, the first of them, and all that are of a whole file.
func (z *ownZones) notes(tables []audit.Table) (notes []string) {
	count := 0
	for _, c := range z.faults.Counts() {
		count += c.Count
	}
	for i, fault := range z.faults.List() {
		switch {
		case i == 0:
			notes = append(notes, fmt.Sprintf("Faults in %s: %d; the first is %s: %s.", z.words(), count, fault.Where(tables), fault.Message()))
		case fault.At.Row == 0 && fault.Weight == audit.Matters: // of a whole file
			notes = append(notes, fmt.Sprintf("Of %s too: %s: %s.", z.words(), fault.Where(tables), fault.Message()))
		}
	}
	return notes
}
