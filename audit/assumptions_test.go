package audit

import (
	"context"
	"math"
	"strings"
	"testing"

	"dryarc/audit/basis"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// Each assumption names the lines that it touches, and is silent where it touches none. Line A of two is changed.
func TestAssumptionsNameTheLinesTheyTouch(t *testing.T) {
	row := func(change func(row *LineRow)) func(s *sketch) { return func(s *sketch) { change(&s.p.Lines[0]) } }
	assembly := func(change func(a *AssemblyRow)) func(s *sketch) {
		return func(s *sketch) { change(s.p.Assemblies.Row(0)) }
	}
	conductor := row(func(row *LineRow) { row.Conductor, row.ColdTensionKN = 0, 20 })
	loads := func(more ...func(s *sketch)) func(s *sketch) {
		return func(s *sketch) {
			s.p.Conductors = basis.Conductors()
			s.p.Lines[0].Conductor, s.p.Lines[0].ColdTensionKN = s.p.Symbols.Number("Panther"), 20
			for _, m := range more {
				m(s)
			}
		}
	}
	noGround := func(s *sketch) {
		for i := range 3 {
			s.p.Structures.Row(i).GroundM = math.NaN()
		}
	}
	cases := func(s *sketch) { s.p.Criteria.LoadCases = []LoadCase{{Name: "wind", From: MaximumTension, Factor: 1}} }
	level := row(func(row *LineRow) { row.LightningKV = 650 })
	gap := func(change func(s *sketch)) func(s *sketch) {
		return func(s *sketch) {
			direct := UnknownDirectValues()
			direct.ArcingMM = 1300
			s.p.Direct = append(s.p.Direct, direct)
			s.p.Assemblies.Row(0).Direct = 1
			level(s)
			change(s)
		}
	}
	const none, all = "", "all"
	for name, c := range map[string]struct {
		says   string
		change func(s *sketch)
		want   string
	}{
		"factors without a basis": {"The criterion insulator_factor states factors between load and rating without the document", func(s *sketch) {
			s.p.Criteria.InsulatorFactor = InsulatorFactor{Tension: 2}
		}, all},
		"factors with one": {"The criterion insulator_factor states factors between load and rating without the document", func(s *sketch) {
			s.p.Criteria.InsulatorFactor = InsulatorFactor{Basis: "own rule", Tension: 2}
		}, none},
		"a broken conductor without a basis": {"The criterion broken_conductor states factors between load and rating without the document", func(s *sketch) {
			s.p.Criteria.BrokenConductor.Factor.Suspension = 2
		}, all},
		"a factor of a load case that is none": {"factor in ice, which none of the load cases is", loads(cases, func(s *sketch) {
			s.p.Criteria.InsulatorFactor.By = []ExactFactor{{For: []FactorOf{TensionFactor}, Cases: []string{"ice"}, Factor: 3, Basis: "own rule"}}
		}), "A"},
		"a factor of a load case": {"factor in", loads(cases, func(s *sketch) {
			s.p.Criteria.InsulatorFactor.By = []ExactFactor{{For: []FactorOf{TensionFactor}, Cases: []string{"ice", "Wind"}, Factor: 3, Basis: "own rule"}}
		}), none},
		"built for more":         {"taken to be built for more than it is run at", row(func(row *LineRow) { row.NominalKV, row.HighestKV = 33, 145 }), "A"},
		"built for what it runs": {"taken to be built for more than it is run at", row(func(row *LineRow) { row.NominalKV, row.HighestKV = 132, 145 }), none},
		"a clamp of both duties": {"tension assemblies and its suspension assemblies alike", loads(cases, func(s *sketch) {
			s.assembly("A", "1", "1", "A", Tension, Ahead)
			s.p.Lines[0].FittingsKN[Clamp] = 70
		}), "A"},
		"a clamp of one":          {"tension assemblies and its suspension assemblies alike", loads(cases, func(s *sketch) { s.p.Lines[0].FittingsKN[Clamp] = 70 }), none},
		"combined loads of a pin": {"across and along its axis are added", loads(cases, assembly(func(a *AssemblyRow) { a.Duty = Pin })), "A"},
		"combined loads, stated": {"across and along its axis are added", loads(cases, assembly(func(a *AssemblyRow) { a.Duty = Pin }),
			func(s *sketch) { s.p.Criteria.CombinedLoadsStated = true }), none},
		"combined loads of no pin":         {"across and along its axis are added", loads(cases), none},
		"a pin is upright":                 {"Pins are taken to stand upright", loads(cases, assembly(func(a *AssemblyRow) { a.Duty = Pin })), "A"},
		"a pin that is said to be":         {"Pins are taken to stand upright", loads(cases, assembly(func(a *AssemblyRow) { a.Duty, a.Mounting = Pin, Upright })), none},
		"a post may be either":             {"Pins are taken to stand upright", loads(cases, assembly(func(a *AssemblyRow) { a.Duty = Post })), none},
		"deviation limit of the line":      {"bear a deviation up to 2°", row(func(row *LineRow) { row.DeviationLimitDeg = 3 }), "B"},
		"deviation limit that is not read": {"bear a deviation up to 2°", row(func(row *LineRow) { row.Faulty = row.Faulty.With(CellDeviationLimit) }), "B"},
		"deviation limit of neither":       {"bear a deviation up to 2°", func(*sketch) {}, all},
		"deviation limit of the project":   {"bear a deviation up to", func(s *sketch) { s.p.Criteria.DeviationLimitDeg = Stated(2) }, none},
		"tees among two lines":             {"makes a tee there", func(*sketch) {}, all},
		"tees of one line": {"makes a tee there", func(s *sketch) {
			s.p.Lines, s.p.Assemblies = s.p.Lines[:1], AssemblyRows{}
			var kept StructureRows
			for i, row := range s.p.Structures.All() {
				if i < 3 {
					kept.Append(row)
				}
			}
			s.p.Structures = kept
		}, none},
		"default class nowhere needed": {"stand in class b", func(s *sketch) { s.p.Criteria.DefaultClass = basis.ClassUnknown }, none},
		"default class":                {"stand in class b", func(s *sketch) { s.p.Criteria.DefaultClass = basis.ClassB }, all},
		"high ground": {"structures stand above 1500 m", func(s *sketch) {
			s.p.Criteria.DefaultClass = basis.ClassB
			for i := range 3 {
				s.p.Structures.Row(i).GroundM = 1501
			}
		}, "A"},
		"ground at 1500 m":       {"structures stand above 1500 m", func(s *sketch) { s.p.Structures.Row(1).GroundM = 1500 }, none},
		"level":                  {"cover sites up to 1000 m", level, "A"},
		"switching level":        {"cover sites up to 1000 m", row(func(row *LineRow) { row.SwitchingKV = 750 }), "A"},
		"no level":               {"cover sites up to 1000 m", func(*sketch) {}, none},
		"switching exponent":     {"exponent for switching impulse", row(func(row *LineRow) { row.SwitchingKV = 750 }), "A"},
		"no switching level":     {"exponent for switching impulse", level, none},
		"gap formula":            {"The gap factor is 1.25", gap(func(*sketch) {}), "A"},
		"gap, no level":          {"The gap factor is", gap(func(s *sketch) { s.p.Lines[0].LightningKV = math.NaN() }), none},
		"gap, other level":       {"The gap factor is", gap(func(s *sketch) { s.p.Lines[0].LightningKV, s.p.Lines[0].SwitchingKV = math.NaN(), 750 }), "A"},
		"gap, tested":            {"The gap factor is", gap(func(s *sketch) { s.p.Direct[0].LightningKV = 700 }), none},
		"gap of an earth wire":   {"The gap factor is", gap(func(s *sketch) { s.p.Assemblies.Row(0).Duty = EarthWire }), none},
		"gap of no distance":     {"The gap factor is", gap(func(s *sketch) { s.p.Direct[0].ArcingMM = math.NaN() }), none},
		"gap beyond the formula": {"The gap factor is", gap(func(s *sketch) { s.p.Direct[0].ArcingMM = 900 }), "A"},
		"route": {"off the route of their line", func(s *sketch) {
			s.p.Routes = []Route{{Line: s.p.Symbols.Number("A"), Parts: [][]orb.Point{{{10, 50}, {10.01, 50}}}}}
		}, "A"},
		"no route":                       {"off the route of their line", func(*sketch) {}, none},
		"parallel strings under load":    {"share their load equally", loads(assembly(func(a *AssemblyRow) { a.Strings = 2 })), "A"},
		"single strings under load":      {"share their load equally", loads(), none},
		"parallel strings without loads": {"share their load equally", assembly(func(a *AssemblyRow) { a.Strings = 2 }), none},
		"highest voltage of the table":   {"taken from IEC 60038", row(func(row *LineRow) { row.NominalKV = 132 }), "A"},
		"highest voltage stated":         {"taken from IEC 60038", row(func(row *LineRow) { row.NominalKV, row.HighestKV = 132, 145 }), none},
		"highest voltage of a railway":   {"highest permanent voltage of the railway is taken", row(func(row *LineRow) { row.NominalKV, row.System = 25, SinglePhaseRailway }), "A"},
		"railway, by no other table":     {"highest voltage for equipment is taken", row(func(row *LineRow) { row.NominalKV, row.System = 25, SinglePhaseRailway }), none},
		"railway of a stated one":        {"highest permanent voltage of the railway is taken", row(func(row *LineRow) { row.NominalKV, row.HighestKV, row.System = 25, 27.5, SinglePhaseRailway }), none},
		"direct current, by no table":    {"highest voltage for equipment is taken", row(func(row *LineRow) { row.NominalKV, row.System = 400, DirectCurrent }), none},
		"system not stated":              {"three-phase one with earthed neutral", row(func(row *LineRow) { row.NominalKV = 132 }), "A"},
		"system stated":                  {"three-phase one with earthed neutral", row(func(row *LineRow) { row.NominalKV, row.System = 132, Earthed }), none},
		"system and voltage unknown":     {"three-phase one with earthed neutral", func(*sketch) {}, none},
		"disc table":                     {"read from the table of 146 mm discs", level, "A"},
		"schedule assumes a level":       {"The schedule of requirements assumes", row(func(row *LineRow) { row.NominalKV = 132 }), "A"},
		"schedule cannot read the level": {"The schedule of requirements assumes", row(func(row *LineRow) { row.NominalKV, row.Faulty = 132, row.Faulty.With(CellTested) }), none},
		"schedule has a level":           {"The schedule of requirements assumes", row(func(row *LineRow) { row.NominalKV, row.LightningKV = 132, 650 }), none},
		"attachments not stated":         {"Attachment heights are not stated", loads(), "A"},
		"attachments stated": {"Attachment heights are not stated", loads(func(s *sketch) {
			for i := range 3 {
				s.p.Structures.Row(i).AttachmentM = 20
			}
		}), none},
		"one attachment not stated": {"Attachment heights are not stated", loads(func(s *sketch) {
			for i := range 2 {
				s.p.Structures.Row(i).AttachmentM = 20
			}
		}), none},
		"tensions not explained":  {"Tensions are taken to be horizontal", loads(), "A"},
		"tensions, no loads":      {"Tensions are taken to be horizontal", func(*sketch) {}, none},
		"tensions explained":      {"Tensions are taken to be horizontal", loads(func(s *sketch) { s.p.Criteria.StatedTensionStated = true }), none},
		"tensions at the support": {"the pull at the support", loads(func(s *sketch) { s.p.Criteria.StatedTension = basis.AtSupport }), "A"},
		"horizontal tensions":     {"the pull at the support", loads(), none},
		"ground levels":           {"No ground level of the line is known", loads(cases), none},
		"one ground level": {"No ground level of the line is known", loads(cases, func(s *sketch) {
			s.p.Structures.Row(0).GroundM, s.p.Structures.Row(1).GroundM = math.NaN(), math.NaN()
		}), none},
		"no ground level":          {"No ground level of the line is known", loads(cases, noGround), "A"},
		"no ground level, no case": {"No ground level of the line is known", loads(noGround), none},
		"no ground level, calculated": {"No ground level of the line is known", loads(noGround, func(s *sketch) {
			s.p.Criteria.StatedTension, s.p.Criteria.LoadCases = basis.AtSupport, []LoadCase{{Name: "ice", Factor: 1, From: CalculatedTension}}
		}), "A"},
		"no ground level, at the support": {"No ground level of the line is known", loads(cases, noGround, func(s *sketch) { s.p.Criteria.StatedTension = basis.AtSupport }), none},
		"ground level unreadable": {"No ground level of the line is known", loads(cases, noGround, func(s *sketch) {
			s.p.Structures.Row(0).Faulty = s.p.Structures.At(0).Faulty.With(CellGround)
		}), none},
		"strings not weighed": {"The weight of suspension strings is left out", loads(cases), "A"},
		"strings weighed":     {"The weight of suspension strings is left out", loads(cases, func(s *sketch) { s.p.Units[0].WeightKg = 5 }), none},
		"strings, no case":    {"The weight of suspension strings is left out", loads(), none},
		"tension strings":     {"The weight of suspension strings is left out", loads(cases, assembly(func(a *AssemblyRow) { a.Duty = Tension })), none},
		"only a span ahead": {"Tensions are taken to be horizontal", func(s *sketch) {
			s.p.Conductors = basis.Conductors()
			s.p.Structures.Row(1).ConductorAhead = s.p.Symbols.Number("Panther")
			cases(s)
		}, "A"},
		"load case without cold tension": {"Attachment heights are not stated", loads(func(s *sketch) {
			s.p.Lines[0].ColdTensionKN, s.p.Criteria.LoadCases = math.NaN(), []LoadCase{{Name: "wind", Factor: 1}}
		}), "A"},
		"neither":               {"Attachment heights are not stated", loads(func(s *sketch) { s.p.Lines[0].ColdTensionKN = math.NaN() }), none},
		"no conductor":          {"Attachment heights are not stated", conductor, none},
		"number of conductors":  {"One conductor per phase", loads(row(func(row *LineRow) { row.NominalKV = 132 })), "A"},
		"bundles are likely":    {"One conductor per phase", loads(row(func(row *LineRow) { row.NominalKV = 400 })), none},
		"voltage not stated":    {"One conductor per phase", loads(), none},
		"one conductor stated":  {"One conductor per phase", loads(row(func(row *LineRow) { row.Subconductors = 1 })), none},
		"twin conductor stated": {"One conductor per phase", loads(row(func(row *LineRow) { row.Subconductors = 2 })), none},
		"a guessed encoding":    {"The texts of a.csv are read as Windows-1252", func(s *sketch) { s.p.Inputs = []Input{{File: "a.csv", Encoding: "Windows-1252"}} }, all},
		"another datum":         {"positions of a.gpkg are in", func(s *sketch) { s.p.Inputs = []Input{{File: "a.gpkg", System: "X", DatumM: 1}} }, all},
		"datum of WGS 84":       {"positions of a.gpkg are in", func(s *sketch) { s.p.Inputs = []Input{{File: "a.gpkg", System: "X"}} }, none},
	} {
		s := newSketch(t)
		s.straight("A", 3)
		s.straight("B", 3)
		for i := range s.p.Structures.Len() {
			s.p.Structures.Row(i).GroundM = 100
			if i > 2 {
				s.p.Structures.Row(i).Lat = 51
			}
		}
		s.line("A")
		s.line("B")
		s.assembly("A", "2", "1", "A", Suspension, NoSide)
		c.change(s)
		n := s.network()
		r, err := Assess(context.Background(), n, []*Check{sizing()}, Options{Workers: 1})
		require.NoError(t, err)
		got := none
		for _, a := range r.Run.Assumptions {
			if strings.Contains(a.Text, c.says) {
				got = all
				for i, l := range a.Lines {
					if i == 0 {
						got = ""
					}
					got += s.p.Symbols.Text(l)
				}
			}
		}
		require.Equal(t, c.want, got, name)
	}
}

// Reasons stand in one order, whichever line gave them first; lines that are not assessed touch nothing.
func TestReasonsOfAllLinesStandInOrder(t *testing.T) {
	s := newSketch(t)
	s.straight("A", 3)
	s.straight("B", 3)
	check := sizing()
	check.Of = OfStructure
	check.Headroom, check.Sizes = false, false
	verdicts := []Verdict{CannotTell(NoClass), DoesNotApply(SideIsEmpty), DoesNotApply(NotAtTerminal), CannotTell(FaultyField), AtMost(1, 2, "").Because(GeometryDoubtful), CannotTell(NoClass)}
	check.Judge = func(s *Subject, _ *Trace) Verdict { return verdicts[s.Structure.Index] }
	r, err := Assess(context.Background(), s.network(), []*Check{check}, Options{Workers: 1})
	require.NoError(t, err)
	require.Equal(t, []ReasonCount{{Meets, GeometryDoubtful, 1}, {NotApplicable, NotAtTerminal, 1}, {NotApplicable, SideIsEmpty, 1}, {NotAssessed, FaultyField, 1}, {NotAssessed, NoClass, 2}},
		r.Coverage[0].Reasons)
	require.InDelta(t, 100.0/4, r.AssessedPercent(), 1e-12)
	require.Equal(t, 1.0, r.Coverage[0].WorstMargin)
}

// What is shown is what is compared, and a hundred per cent are all.
func TestAssessedPercentIsWhatIsShown(t *testing.T) {
	for _, c := range []struct {
		judged, not int
		want        float64
	}{{1, 0, 100}, {0, 1, 0}, {1, 2, 33.3}, {2, 1, 66.6}, {9999, 1, 99.9}, {999, 1, 99.9}, {1, 999, 0.1}, {0, 0, 100}, {941, 59, 94.1}} {
		r := &Result{Coverage: []Coverage{{Meets: c.judged, NotAssessed: c.not}}}
		require.Equal(t, c.want, r.AssessedPercent(), "%d of %d", c.judged, c.judged+c.not)
	}
}
