package audit

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit/basis"
)

// assumptions lists what nobody stated and the result rests on, once each, with the lines it touches: first the
// criteria, in the order of their table.
func (r *Result) assumptions() []Assumption {
	var out []Assumption
	r.strings = make([][]uint32, len(r.Lines))
	defer func() { r.strings = nil }()
	always := func(applies bool, text string) {
		if applies {
			out = append(out, Assumption{Text: text})
		}
	}
	touching := func(text string, touches func(l int) bool) {
		touched := make([]bool, len(r.Lines))
		// It fails only when the context ends, which this one does not.
		_ = r.Network.eachLine(context.Background(), r.workers, func(l int) bool { return r.Lines[l].Assessed }, func(l int) { touched[l] = touches(l) })
		var lines []Symbol
		assessed := 0
		for l := range r.Lines {
			if r.Lines[l].Assessed {
				assessed++
			}
			if touched[l] {
				lines = append(lines, r.Network.Lines[l].Symbol)
			}
		}
		if len(lines) == assessed && assessed > 0 {
			out = append(out, Assumption{Text: text})
		} else if len(lines) > 0 {
			out = append(out, Assumption{Text: text, Lines: lines})
		}
	}
	for _, a := range r.criteriaAssumed() {
		switch {
		case a.touches == nil:
			always(true, a.text)
		default:
			touching(a.text, a.touches)
		}
	}
	for _, name := range r.Project.Criteria.Ageing.ofNone(r.Project.Units) {
		always(true, fmt.Sprintf("The criterion ageing names %q, which is no type or material of the units; no age is looked at by it.", name))
	}
	for _, entry := range r.watchedNowhere() {
		always(true, fmt.Sprintf("The criterion watch_list has an entry for %s, and nothing that hangs is, or may be, that; no note is made by it.", entry))
	}
	for _, key := range r.Project.withoutBasis() {
		always(true, "The criterion "+key+" states factors between load and rating without the document that they follow; basis names it.")
	}
	if r.asksMakes() && len(r.Project.Carried.makes()) == 0 {
		always(true, fmt.Sprintf("The criterion watch_list asks for makes, and the register's rows carry none: a make is that of a unit alone. A column of makes is carried by carry under register, and is one by its heading: %s.", strings.Join(MakeHeadings(), ", ")))
	}
	for _, unmet := range r.Project.unmetFactors() {
		always(true, "The criterion insulator_factor names "+unmet+", which nothing in the inputs is; no factor holds by it.")
	}
	for _, kind := range r.Project.uncrossedKinds() {
		always(true, fmt.Sprintf("The criterion crossing_rules has a rule for %q, and no crossing of the inputs is of that kind; spans of one line that cross another of the inputs are none unless a layer says so.", kind))
	}
	if crossing := r.linesThatCross(); crossing != "" {
		always(true, crossing)
	}
	for _, e := range r.Project.factorsOfCases() {
		touching("The criterion insulator_factor has a factor "+e.words()+", which none of the load cases is; it holds for nothing there.", func(l int) bool {
			return r.isLoaded(l) && r.criteria(l).hasFactor(e) && !slices.ContainsFunc(r.criteria(l).LoadCases, func(c LoadCase) bool { return e.isOfCase(&c) })
		})
	}
	for _, name := range r.Project.unmetWithstands() {
		always(true, fmt.Sprintf("The criterion risk names %q under withstand, which is no type or material of the units; nothing is ranked by its figures.", name))
	}
	for i := range r.Project.Rules {
		out = append(out, r.ruleAssumed(&r.Project.Rules[i])...)
	}
	for _, input := range r.Project.Inputs {
		always(input.DatumM > 0, fmt.Sprintf("The positions of %s are in %s, whose datum is taken as WGS 84; the two agree within %g m (EPSG dataset).",
			input.File, input.System, input.DatumM))
		always(input.Encoding != "", fmt.Sprintf("The texts of %s are read as %s, since they are not in UTF-8 and nothing says in what they are.", input.File, input.Encoding))
		for _, text := range input.Assumed {
			always(true, text)
		}
	}
	for _, taken := range r.Project.FilesTaken {
		always(true, taken)
	}
	for _, taken := range r.Project.DatesTaken {
		always(true, taken)
	}
	for _, taken := range r.Project.CountsTaken {
		always(true, taken)
	}
	for _, taken := range r.Project.SignsTaken {
		always(true, taken)
	}
	for _, taken := range r.Project.CircuitsTaken {
		always(true, taken)
	}
	for _, filled := range r.Project.FilledDown {
		always(true, filled)
	}
	for _, unread := range r.Project.Unread {
		always(true, unread)
	}
	for _, taken := range r.Network.Taken() {
		l := r.Network.lineNamed(taken.Lines[0])
		if l < 0 || r.Lines[l].Assessed {
			out = append(out, taken)
		}
	}
	touching("Two like tension rows for one phase of a circuit at a structure within the line, which state no side, are taken for a set each way and judged as one; nobody says which is which, so whether both sides are held is not assessed.",
		func(l int) bool {
			return r.anyAssembly(l, func(at uint32) bool { return r.Network.IsPair(int(at)) })
		})
	highestOf := func(railway bool, table basis.VoltageTable) func(l int) bool {
		return func(l int) bool {
			line := r.line(l)
			return line.HighestAssumed && line.Row.System.IsRailway() == railway && (railway || line.voltages == table)
		}
	}
	touching("The highest voltage for equipment is taken from IEC 60038 for the nominal voltage (value from memory).", highestOf(false, basis.IEC60038))
	touching(fmt.Sprintf("The highest voltage for equipment is taken from the table of North American practice that the criteria choose, for the nominal voltage (%s).", basis.HighestVoltageNorthAmerican),
		highestOf(false, basis.NorthAmerican))
	touching(fmt.Sprintf("The highest permanent voltage of the railway is taken for its nominal voltage from a table (%s).", basis.RailwayVoltageSource), highestOf(true, 0))
	touching("The highest voltage of the line is more than any list has for its nominal one; the line is taken to be built for more than it is run at: creepage and levels go by the highest voltage, the counting rule, the flashover minima and what serves low voltage by the nominal one.",
		func(l int) bool {
			row := &r.line(l).Row
			return row.System != DirectCurrent && basis.IsBuiltForMore(row.HighestKV, row.NominalKV)
		})
	touching("The line is taken as a three-phase one with earthed neutral, since its system is not stated.",
		func(l int) bool {
			return r.line(l).Row.System == SystemUnknown && !math.IsNaN(r.line(l).PhaseToEarthKV)
		})
	touching("The lightning and wet voltages of long rods, composites, posts and pins are taken for flashover where the heading does not say withstand.",
		r.usesUnitFlashover)
	touching("The withstand of strings of discs is read from the table of 146 mm discs (positive lightning impulse as printed; the rest value from memory, sure up to 12 units, fairly sure above, and printed tables of wet flashover differ by 5 to 10 kV).",
		func(l int) bool { return !math.IsNaN(r.line(l).Row.LightningKV) })
	touching(fmt.Sprintf("The average diameter of porcelain and glass units that reach %g mm overall is taken to be less where the sheet Units leaves it blank, so the diameter factor of creepage is 1.", basis.DiameterFactorFromMM),
		func(l int) bool { return r.judged("creepage", l) && r.usesUnstatedDiameter(l) })
	touching("The schedule of requirements assumes the highest standard lightning level of the line's Um, since none is stated; the audit itself does not.",
		func(l int) bool {
			return r.line(l).assumesLevel()
		})
	touching("Attachment heights are not stated on the line; the conductor is taken to hang equally high above ground everywhere.",
		func(l int) bool { return r.isLoaded(l) && !r.line(l).AttachmentsStated })
	touching("The project states tensions as the pull at the support; for weight spans, swing, turns and uplift the horizontal tension is reckoned from it at each structure, so that the larger pull of its own spans there is the one stated.",
		func(l int) bool { return r.criteria(l).StatedTension == basis.AtSupport && r.isLoaded(l) })
	touching("No ground level of the line is known; its tension assemblies are judged by the horizontal tension, without what the height of the span adds.",
		func(l int) bool { return r.criteria(l).liftsTension() && r.isLoaded(l) && !r.line(l).GroundStated })
	touching("The ratings of fittings that the line states are taken for its tension assemblies and its suspension assemblies alike, where their rows state none; the clamps, yokes and ball and socket of the two may differ.",
		func(l int) bool {
			line := r.line(l)
			return r.isLoaded(l) && line.Row.FittingsKN.AnyStated() && r.bearsFittings(l, Tension) && r.bearsFittings(l, Suspension)
		})
	touching("The weight of suspension strings is left out of their load where their units state none.", r.hangsUnweighed)
	touching("The wind on suspension strings is taken on the diameter times the spacing of units that state no wind area, which is no less.", r.hangsUnmeasured)
	touching("The own weight of pins and posts is left out of their load where their units state none.", func(l int) bool {
		return r.isLoaded(l) && r.bearsLoads(l, Pin, Post) && r.anyString(l, func(a *Assembly) bool {
			return a.standsAsPost() && a.lacksStringLoads() == NoReason && math.IsNaN(a.WeightN())
		})
	})
	touching("One conductor per phase is assumed, since the number of subconductors is not stated.",
		func(l int) bool {
			row := &r.line(l).Row
			return r.isLoaded(l) && row.Subconductors < 1 && !row.Faulty.Has(CellStrings) && !r.line(l).mayHaveBundles()
		})
	touching("Pins are taken to stand upright where the register states no mounting (common practice).",
		func(l int) bool {
			return r.bearsLoads(l, Pin) && r.anySaid(l, func(row *RowSaid) bool {
				return row.Duty == Pin && row.Mounting == MountingUnknown && !row.Faulty.Has(CellMounting)
			})
		})
	return out
}

// liftsTension tells whether a load case has a tension that is horizontal, so that a support bears more.
func (c *Criteria) liftsTension() bool {
	return slices.ContainsFunc(c.LoadCases, func(l LoadCase) bool { return c.StatedTension == basis.Horizontal || l.From == CalculatedTension })
}

// assumption is what a result assumes for a criterion, empty where it assumes nothing.
func (k *InForce) assumption(c *Criteria) string {
	applies := !k.Stated
	if k.when != nil {
		applies = k.when(c)
	}
	if !applies {
		return ""
	}
	return strings.NewReplacer("{value}", k.Value, "{source}", k.Clause.String()).Replace(k.assumed)
}

// assumed is what a result assumes for a criterion, and the lines for which it does; nil for all.
type assumed struct {
	text    string
	touches func(line int) bool
}

// criteriaAssumed lists what is assumed for the criteria: where lines have rules of their own, each text for the lines of whose
// criteria it is true.
func (r *Result) criteriaAssumed() (list []assumed) {
	sets := [][]InForce{r.Project.Criteria.List()}
	criteria := []*Criteria{&r.Project.Criteria}
	for i := range r.Project.Rules {
		criteria = append(criteria, &r.Project.Rules[i].Criteria)
		sets = append(sets, criteria[i+1].List())
	}
	for at := range sets[0] {
		of := map[string][]bool{} // the sets of rules of which a text is true
		for i, set := range sets {
			text := set[at].assumption(criteria[i])
			if text == "" {
				continue
			}
			if of[text] == nil {
				of[text] = make([]bool, len(sets))
				touches := sets[0][at].touches
				a := assumed{text: text}
				if held := of[text]; len(sets) > 1 || touches != nil {
					a.touches = func(l int) bool { return held[r.Network.Lines[l].rules] && (touches == nil || touches(r, l)) }
				}
				list = append(list, a)
			}
			of[text][i] = true
		}
	}
	return list
}

// ruleAssumed says which criteria hold on the lines of a set of rules in place of those of the project.
func (r *Result) ruleAssumed(rules *Rules) (list []Assumption) {
	var lines []Symbol
	for l := range r.Network.Lines {
		if r.Network.RulesOf(l) == rules && r.Lines[l].Assessed {
			lines = append(lines, r.Network.Lines[l].Symbol)
		}
	}
	if len(lines) == 0 {
		return nil
	}
	project := r.Project.Criteria.List()
	for i, k := range rules.Criteria.List() {
		if at := slices.Index(rules.Keys, k.Key); at >= 0 {
			list = append(list, Assumption{Lines: lines, Text: fmt.Sprintf("The criterion %s is %s on these lines (%s); elsewhere it is %s.", k.Key, k.Shown(), rules.statedBy(at), project[i].Shown())})
		}
	}
	return list
}

func (r *Result) criteria(l int) *Criteria { return r.Network.Criteria(l) }

func (r *Result) line(l int) *Line { return &r.Network.Lines[l] }

// judged tells whether a check could judge anything on a line.
func (r *Result) judged(check string, l int) bool {
	i := slices.IndexFunc(r.Checks, func(c *Check) bool { return c.ID == check })
	return i >= 0 && r.Lines[l].Coverage[i].Meets+r.Lines[l].Coverage[i].FallsShort > 0
}

// hasLevel tells whether a line states a withstand level that is corrected for altitude.
func (r *Result) hasLevel(l int) bool {
	row := &r.line(l).Row
	return !math.IsNaN(row.LightningKV) || !math.IsNaN(row.SwitchingKV)
}

// usesGapFormula tells whether a withstand of a line comes from a gap formula.
func (r *Result) usesGapFormula(l int) bool {
	shapes := [...]Shape{Lightning, Switching}
	return r.hasLevel(l) && r.anyString(l, func(a *Assembly) bool {
		overUnits := r.criteria(l).ArcingDistance == ArcingOverUnits
		return a.Duty.CarriesPhase() && (overUnits || !math.IsNaN(a.ArcingMM())) && slices.ContainsFunc(shapes[:], func(shape Shape) bool {
			w := a.Withstand(shape, a.UnitsPerString, r.criteria(l))
			return w.IsByGap() && !math.IsNaN(r.line(l).Level(shape))
		})
	})
}

// usesUnitFlashover tells whether a withstand of a line comes from the flashover that a unit states.
func (r *Result) usesUnitFlashover(l int) bool {
	return !math.IsNaN(r.line(l).Row.LightningKV) && r.anyString(l, func(a *Assembly) bool {
		return a.Duty.CarriesPhase() && slices.ContainsFunc([]Shape{Lightning, Wet}, func(shape Shape) bool {
			w := a.Withstand(shape, a.UnitsPerString, r.criteria(l))
			return w.From == UnitFlashover && w.Reason == NoReason
		})
	})
}

// usesUnstatedDiameter tells whether the creepage of a string of a line rests on a diameter factor of 1 for units so large that their
// average diameter, which is blank, could make it more.
func (r *Result) usesUnstatedDiameter(l int) bool {
	return r.anyString(l, func(a *Assembly) bool {
		return a.Duty.CarriesPhase() && slices.ContainsFunc(a.Units(), func(u *basis.Unit) bool {
			return u.Kind != basis.Composite && math.IsNaN(u.AverageDiameterMM) && u.DiameterMM >= basis.DiameterFactorFromMM
		})
	})
}

// isLoaded tells whether the loads on the structures of a line are known.
func (r *Result) isLoaded(l int) bool {
	return r.Network.carriesKnown(r.line(l)) && (len(r.criteria(l).LoadCases) > 0 || !math.IsNaN(r.line(l).Row.ColdTensionKN))
}

// hangsUnweighed tells whether a line has a suspension string of unknown weight under load.
func (r *Result) hangsUnweighed(l int) bool {
	return r.isLoaded(l) && len(r.criteria(l).LoadCases) > 0 && r.anyString(l, func(a *Assembly) bool {
		return a.Duty == Suspension && a.lacksStringLoads() == NoReason && math.IsNaN(a.WeightN())
	})
}

// hangsUnmeasured tells whether a line has a suspension string under wind whose wind area goes by diameter and spacing.
func (r *Result) hangsUnmeasured(l int) bool {
	swings, spread := r.judged("swing", l), r.judged("v-set-clearance", l)
	return (swings || spread) && r.anyString(l, func(a *Assembly) bool {
		return a.Duty == Suspension && (a.Arrangement == VSet && spread || a.Arrangement != VSet && swings) && len(a.Unmeasured()) > 0 && !math.IsNaN(a.windAreaM2())
	})
}

// bearsLoads tells whether a line has assemblies of one of some duties, and load cases to put on them.
func (r *Result) bearsLoads(l int, duties ...Duty) bool {
	return r.line(l).Conductor != nil && len(r.criteria(l).LoadCases) > 0 &&
		r.anySaid(l, func(row *RowSaid) bool { return slices.Contains(duties, row.Duty) })
}

// bearsFittings tells whether an assembly of a duty on a line has no rating of its own of a fitting of which the line states one.
func (r *Result) bearsFittings(l int, duty Duty) bool {
	return r.anyString(l, func(a *Assembly) bool {
		if a.Duty != duty || a.Faulty.Has(CellMounting) {
			return false
		}
		for f, kN := range r.line(l).Row.FittingsKN {
			if !math.IsNaN(kN) && math.IsNaN(a.Direct.FittingsKN[f]) {
				return true
			}
		}
		return false
	})
}

func (r *Result) hasParallelStrings(l int) bool {
	return r.anySaid(l, func(row *RowSaid) bool { return row.Strings > 1 })
}

// anyAssembly tells whether something is true of one of the assemblies of a line.
func (r *Result) anyAssembly(l int, is func(row uint32) bool) bool {
	for structure := r.line(l).First; structure < r.line(l).End; structure++ {
		if slices.ContainsFunc(r.Network.AssemblyRows(structure), is) {
			return true
		}
	}
	return false
}

// anyString tells whether something is true of one of the assemblies of a line, whichever structure, circuit, phase and side it is of.
func (r *Result) anyString(l int, is func(a *Assembly) bool) bool {
	return slices.ContainsFunc(r.stringsOf(l), func(at uint32) bool {
		a := r.Network.Assembly(at)
		return is(&a)
	})
}

// anySaid tells whether something is true of what one of the rows of a line says as others do.
func (r *Result) anySaid(l int, is func(row *RowSaid) bool) bool {
	return slices.ContainsFunc(r.stringsOf(l), func(at uint32) bool { return is(r.Project.Assemblies.saidOf(at)) })
}

// stringsOf are rows of a line, of those that say the same of their string one, found once while assumptions are.
func (r *Result) stringsOf(l int) []uint32 {
	if r.strings[l] != nil {
		return r.strings[l]
	}
	type saidOfString struct {
		*RowSaid
		defective int16
	}
	var last alikeStrings[struct{}]
	seen := map[saidOfString]bool{}
	rows := &r.Project.Assemblies
	r.anyAssembly(l, func(at uint32) bool {
		if _, known := last.of(rows, at); known {
			return false
		}
		if said := (saidOfString{rows.saidOf(at), rows.ownOf(at).Defective}); !seen[said] {
			seen[said] = true
			r.strings[l] = append(r.strings[l], at)
		}
		return false
	})
	return r.strings[l]
}

// Assumption is something nobody stated that the result rests on.
type Assumption struct {
	Text  string
	Lines []Symbol // the lines it touches, in their order; nil where it touches all
}
