package audit

import (
	"encoding/json"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// places returns the addresses of what a record stands for: a field, or a choice and whether it is stated.
func places(k *Criterion, c *Criteria) []uintptr {
	in := reflect.ValueOf(k.In(c))
	if in.Kind() == reflect.Pointer {
		return []uintptr{in.Pointer()}
	}
	return []uintptr{in.FieldByName("Value").Pointer(), in.FieldByName("Stated").Pointer()}
}

func TestEveryFieldOfCriteriaHasARecord(t *testing.T) {
	var c Criteria
	records := map[uintptr]string{}
	for _, k := range AllCriteria() {
		for _, place := range places(&k, &c) {
			require.Empty(t, records[place], "%s stands for the field of another record", k.Key)
			records[place] = k.Key
		}
	}
	fields := reflect.ValueOf(&c).Elem()
	for i := range fields.NumField() {
		name, place := fields.Type().Field(i).Name, fields.Field(i).Addr().Pointer()
		require.NotEmpty(t, records[place], "field %s has no record in AllCriteria", name)
		delete(records, place)
	}
	require.Empty(t, records, "records that stand for no field")
}

func TestRecordsOfCriteriaAreComplete(t *testing.T) {
	measures := map[string]string{"deg": "degrees", "m": "metres"}
	keys := map[string]bool{}
	defaults := DefaultCriteria()
	for _, k := range defaults.List() {
		t.Run(k.Key, func(t *testing.T) {
			require.False(t, keys[k.Key], "stands there twice")
			keys[k.Key] = true
			require.NotEmpty(t, k.Name)
			require.NotEmpty(t, k.Meaning)
			require.False(t, k.Stated)
			if measure, ok := measures[k.Key[strings.LastIndex(k.Key, "_")+1:]]; ok {
				require.Equal(t, measure, k.Measure)
			}
			require.Equal(t, k.Value == NothingStated, k.Example != "", "an example, or a default that is shown in its place")
			if !k.Clause.IsZero() {
				require.NotEmpty(t, k.assumed, "a default that no assumption tells of")
				require.NotEmpty(t, k.assumption(&defaults))
			}
			require.NotContains(t, k.assumption(&defaults), "{")
			if n, ok := k.In(&defaults).(*Number); ok {
				require.Less(t, k.Low, k.High, "a number has a range")
				require.False(t, n.Known() && (n.Value < k.Low || n.Value > k.High), "the default is outside the range")
				require.Equal(t, n.Known(), !n.Clause.IsZero())
			}
		})
	}
}

// A default that changes changes verdicts, so each stands here a second time, with its source.
func TestDefaultCriteria(t *testing.T) {
	c := DefaultCriteria()
	have := map[string]string{}
	for _, k := range c.List() {
		have[k.Key] = k.Value + "; " + k.From()
	}
	for key, want := range map[string]string{
		"deviation_limit_deg":        "2; default, common practice",
		"pin_deviation_limit_deg":    "not stated; no default",
		"position_accuracy_m":        "not stated; no default",
		"tee_tolerance_m":            "0.5; default, a choice of this program",
		"tension_at_tee":             "false; default, common practice",
		"default_class":              "not stated; no default",
		"creepage_basis":             "unified; default, IEC TS 60815-1:2008",
		"specific_creepage":          "not stated; default: the tables of the creepage basis",
		"creepage_altitude_exponent": "0; default, a choice of this program",
		"altitude_basis":             "1000 m; default, IEC 62271-1",
		"switching_exponent":         "0.75; default, IEC 62271-1",
		"gap_factor":                 "1.25; default, value from memory",
		"wet_share":                  "0.9; default, common practice",
		"puncture_share":             "0.75; default, California General Order 64-A, rule 55.3",
		"sound_units":                "not stated; no default",
		"zone_margin_m":              "not stated; no default",
		"span_limit_m":               "not stated; default: 2000 above 60 kV and 500 below, common practice",
		"route_tolerance_m":          "50; default, a choice of this program",
		"long_span_m":                "not stated; no default",
		"crossing_rules":             "not stated; no default",
		"insulator_factor":           "not stated; no default",
		"load_cases":                 "not stated; no default",
		"combined_loads":             "sum; default, common practice",
		"voltages":                   "IEC 60038; default",
		"arcing_distance":            "not stated; no default",
		"unequal_sharing":            "1; default, common practice",
	} {
		require.Equal(t, want, have[key], key)
	}
	require.Equal(t, []float64{500, 2000, 2000}, []float64{c.spanLimitM(60), c.spanLimitM(60.1), c.spanLimitM(math.NaN())})
	c.SpanLimitM = Stated(700)
	require.Equal(t, 700.0, c.spanLimitM(33))
}

// What programs read: names, order, null for what nobody states, and nothing of figures that nobody gives.
func TestCriteriaAsJSON(t *testing.T) {
	numbers := []string{
		`"deviation_limit_deg":2`, `"pin_deviation_limit_deg":null`, `"position_accuracy_m":null`, `"tee_tolerance_m":0.5`, `"tension_at_tee":false`,
		`"creepage_altitude_exponent":0`, `"switching_exponent":0.75`, `"gap_factor":1.25`, `"wet_share":0.9`, `"puncture_share":0.75`, `"sound_units":[]`,
		`"zone_margin_m":null`, `"span_limit_m":null`, `"route_tolerance_m":50`, `"long_span_m":null`, `"crossing_rules":[]`,
		`"insulator_factor":{"basis":"","tension":0,"suspension":0,"cantilever":0,"one_string_broken":0}`, `"load_cases":[]`, `"stated_tension":"horizontal"`, `"unequal_sharing":1`,
	}
	requireInOrder := func(c Criteria, words ...string) string {
		t.Helper()
		raw, err := json.Marshal(c)
		require.NoError(t, err)
		require.True(t, json.Valid(raw))
		rest := string(raw)
		for _, part := range append(numbers[:len(numbers):len(numbers)], words...) {
			_, after, found := strings.Cut(rest, part)
			require.True(t, found, "%s in %s", part, raw)
			rest = after
		}
		require.Equal(t, "}", rest)
		return string(raw)
	}
	c := DefaultCriteria()
	require.NotContains(t, requireInOrder(c, `"default_class":null`, `"creepage_basis":"unified"`, `"altitude_basis":"1000 m"`, `"combined_loads":"sum"`), "specific_creepage")
	c.DefaultClass, c.CreepageBasis, c.AltitudeBasis = basis.ClassC, basis.Levels1986, basis.SeaLevel
	own := &c.OwnSpecificCreepage
	own.Base, own.MMPerKV[basis.ClassE], own.MMPerKV[basis.ClassB] = basis.PerPhaseToPhase, 60, 15.5
	requireInOrder(c, `"default_class":"c"`, `"creepage_basis":"1986"`, `"specific_creepage":{"b":15.5,"base":"Um","e":60}`, `"altitude_basis":"sea level"`, `"combined_loads":"sum"`)
}

// A default in use is an assumption; a stated value is none, whatever it is.
func TestStatedCriteriaAreNotAssumed(t *testing.T) {
	c := DefaultCriteria()
	for _, k := range AllCriteria() {
		switch v := k.In(&c).(type) {
		case *Number:
			*v = Stated(k.High)
		case Choice[bool]:
			*v.Stated = true
		case Choice[basis.CreepageBasis]:
			*v.Stated = true
		case Choice[basis.AltitudeBasis]:
			*v.Stated = true
		case Choice[basis.StatedTension]:
			*v.Stated = true
		case Choice[CombinedLoads]:
			*v.Stated = true
		case Choice[basis.VoltageTable]:
			*v.Stated = true
		}
	}
	for _, k := range c.List() {
		require.Empty(t, k.assumption(&c), k.Key)
		if _, ok := k.In(&c).(*Number); ok {
			require.Equal(t, "stated", k.From(), k.Key)
		}
	}
	c.DefaultClass, c.CreepageAltitudeExponent = basis.ClassB, Stated(0)
	said := map[string]string{}
	for _, k := range c.List() {
		if text := k.assumption(&c); text != "" {
			said[k.Key] = text
		}
	}
	require.Equal(t, map[string]string{
		"default_class":              "Structures outside every zone stand in class b, the default class there.",
		"creepage_altitude_exponent": "Required creepage is not raised with altitude, and structures stand above 1500 m.",
	}, said, "what touches verdicts though it is stated")
}

func TestCreepageSource(t *testing.T) {
	unified, levels := basis.SpecificCreepageUnified, basis.SpecificCreepageLevels
	own := func(class basis.Class, mmPerKV float64) func(*Criteria) {
		return func(c *Criteria) {
			c.OwnSpecificCreepage.Base, c.OwnSpecificCreepage.MMPerKV[class] = basis.PerPhaseToEarth, mmPerKV
		}
	}
	for name, c := range map[string]struct {
		state   func(*Criteria)
		class   basis.Class
		mmPerKV float64
		want    basis.Clause
	}{
		"the table":                        {func(*Criteria) {}, basis.ClassB, 27.8, unified},
		"the table of 1986":                {func(c *Criteria) { c.CreepageBasis = basis.Levels1986 }, basis.ClassB, 16, levels},
		"the project's figure":             {own(basis.ClassB, 15), basis.ClassB, 15, basis.OwnFigure},
		"the project's figure, as table":   {own(basis.ClassB, 27.8), basis.ClassB, 27.8, basis.OwnFigure},
		"another class has its own":        {own(basis.ClassC, 40), basis.ClassB, 27.8, unified},
		"a class beyond the table":         {own(basis.ClassF, 70), basis.ClassF, 70, basis.OwnFigure},
		"the zone's figure":                {func(*Criteria) {}, basis.ClassUnknown, 33, basis.OwnFigure},
		"the zone's figure beside a class": {func(*Criteria) {}, basis.ClassB, 33, basis.OwnFigure},
	} {
		criteria := DefaultCriteria()
		c.state(&criteria)
		require.Equal(t, c.want, criteria.CreepageSource(c.class, c.mmPerKV), name)
	}
}

// A stated figure weighs more than the same by default, so two runs that differ in that alone are two.
func TestRunTellsStatedFromDefault(t *testing.T) {
	byDefault := &Result{Project: &Project{Criteria: DefaultCriteria()}}
	stated := &Result{Project: &Project{Criteria: DefaultCriteria()}}
	stated.Project.Criteria.DeviationLimitDeg = Stated(byDefault.Project.Criteria.DeviationLimitDeg.Value)
	require.Equal(t, byDefault.runID(), byDefault.runID())
	require.NotEqual(t, byDefault.runID(), stated.runID())
}

func TestRunIDCoversTheReading(t *testing.T) {
	id := func(reading string) string { return (&Result{Project: &Project{Reading: reading}}).runID() }
	require.Equal(t, id("line circuit"), id("line circuit"))
	require.NotEqual(t, id("line circuit"), id("line route"))
}

// A load case stands in the criteria of the outputs with its figures, not by its name alone.
func TestLoadCaseInWords(t *testing.T) {
	for want, c := range map[string]LoadCase{
		"wind (wind 400 Pa; tension maximum)":                                                {Name: "wind", WindPa: 400, Factor: 1},
		"ice (ice 15 mm of 900 kg/m³; -5 °C; tension calculated; load factor 1.5; kind ice)": {Name: "ice", IceMM: 15, IceDensityKgPerM3: 900, TemperatureC: Stated(-5), From: CalculatedTension, Factor: 1.5, Kind: "ice"},
		"cold (tension cold; uplift)":                                                        {Name: "cold", From: ColdTension, Uplift: true, Factor: 1},
		"own (tension 12.5 kN)":                                                              {Name: "own", From: GivenTension, TensionKN: 12.5, Factor: 1},
		"share (tension 0.2 of rated strength)":                                              {Name: "share", From: ShareOfStrength, Share: 0.2, Factor: 1},
	} {
		criteria := DefaultCriteria()
		if !strings.Contains(want, "°C") {
			c.TemperatureC = NotStated()
		}
		criteria.LoadCases = []LoadCase{c}
		i := slices.IndexFunc(criteria.List(), func(k InForce) bool { return k.Key == "load_cases" })
		require.Equal(t, want, criteria.List()[i].Value)
	}
}
