package audit

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit/basis"
)

// What an exception notes of the zone in force, so that a later run can tell whether the zone was lost: one of a class, or one that
// states its own figure.
const (
	zoneOfClass  = "zone of class "
	zoneOfFigure = "zone of mm/kV "
	// Before the same of the worse zone near by.
	zoneNear = "near "
)

// asksPollution tells whether a check rests on what the pollution of a site asks for.
func (c *Check) asksPollution() bool {
	needs := func(n Need) bool {
		return n.Name == NeedsSpecificCreepage.Name || n.Name == NeedsLeastSpecificCreepage.Name
	}
	return slices.ContainsFunc(c.Needs, needs) || slices.Contains(c.Basis, basis.SpecificCreepageUnified) || slices.Contains(c.Basis, basis.SpecificCreepageLevels)
}

// asksZoneMargin tells whether a check looks at the zones near a site.
func (c *Check) asksZoneMargin() bool {
	return slices.ContainsFunc(c.AskedBy, func(n Need) bool { return n.Name == AsksZoneMargin.Name })
}

// zoneInForce says which zone holds at a location; empty where the default class does, or where that is in doubt.
func (r *Result) zoneInForce(at *Location) string {
	if at.Structure < 0 || at.To >= 0 {
		return ""
	}
	in := r.Network.siteOf(at.Structure)
	if in.zone < 0 || in.doubt != certain {
		return ""
	}
	return zoneInWords(&r.Network.Zones[in.zone])
}

// zoneNearBy says which worse zone is near a location; empty where none is, or where that is in doubt.
func (r *Result) zoneNearBy(at *Location) string {
	if at.Structure < 0 || at.To >= 0 {
		return ""
	}
	near := r.Network.siteOf(at.Structure).nearZone
	if near < 0 || r.Network.Zones[near].why() != NoReason {
		return ""
	}
	return zoneNear + zoneInWords(&r.Network.Zones[near])
}

func zoneInWords(zone *Zone) string {
	if zone.SpecificCreepage > 0 {
		return zoneOfFigure + strconv.FormatFloat(zone.SpecificCreepage, 'g', -1, 64)
	}
	return zoneOfClass + zone.Class.String()
}

// ZoneLost says, of what was stated of something at a structure, that the zone that held there is not in force any more and what is asks
// for less; empty where that is not so, or not known.
func (r *Result) ZoneLost(stated string, at *Location) string {
	now := r.zoneInForce(at)
	if at.Structure < 0 || at.Line < 0 {
		return ""
	}
	criteria, line := r.Network.Criteria(at.Line), &r.Network.Lines[at.Line]
	for was := range strings.SplitSeq(stated, ", ") {
		asked, is := zoneAsked(criteria, line, was)
		if !is || was == now || r.Network.SpecificCreepageAt(&r.Network.Lines[at.Line], at.Structure) >= asked {
			continue
		}
		if now == "" {
			now = fmt.Sprintf("the default class %s", criteria.DefaultClass)
		}
		return fmt.Sprintf("a %s held there, and %s holds now, which asks for less", was, now)
	}
	return ""
}

// NearZoneLost says, of what was stated of something at a structure, that the worse zone near it is not there any more, nor one that asks
// for as much there or near by; empty where that is not so, or not known.
func (r *Result) NearZoneLost(stated string, at *Location) string {
	if at.Structure < 0 || at.Line < 0 {
		return ""
	}
	criteria, line := r.Network.Criteria(at.Line), &r.Network.Lines[at.Line]
	now := r.zoneNearBy(at)
	near, _ := zoneAsked(criteria, line, strings.TrimPrefix(now, zoneNear))
	for was := range strings.SplitSeq(stated, ", ") {
		asked, is := zoneAsked(criteria, line, strings.TrimPrefix(was, zoneNear))
		if !is || !strings.HasPrefix(was, zoneNear) || was == now || near >= asked || r.Network.SpecificCreepageAt(&r.Network.Lines[at.Line], at.Structure) >= asked {
			continue
		}
		if now == "" {
			return fmt.Sprintf("a %s was near, and none that is worse is near now", strings.TrimPrefix(was, zoneNear))
		}
		return fmt.Sprintf("a %s was near, and a %s is near now, which asks for less", strings.TrimPrefix(was, zoneNear), strings.TrimPrefix(now, zoneNear))
	}
	return ""
}

// zoneAsked is what a zone asks for by the criteria of a line, in mm/kV, by what zoneInForce said of it, NaN where the class has no figure.
func zoneAsked(criteria *Criteria, line *Line, zone string) (mmPerKV float64, is bool) {
	if name, is := strings.CutPrefix(zone, zoneOfClass); is {
		class, known := basis.ParseClass(name)
		return criteria.SpecificCreepageOn(line, class), known
	}
	if figure, is := strings.CutPrefix(zone, zoneOfFigure); is {
		mmPerKV, err := strconv.ParseFloat(figure, 64)
		if line.GoesByPole(criteria) {
			mmPerKV = math.NaN()
		}
		return mmPerKV, err == nil
	}
	return math.NaN(), false
}
