package main

import (
	"cmp"
	"context"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/read"

	"github.com/stretchr/testify/require"
)

// riskProject is the demo project with the figures under risk that the README shows.
func riskProject(t *testing.T) string {
	t.Helper()
	return demoStating(t, riskBlock(t))
}

func riskBlock(t *testing.T) string {
	t.Helper()
	readme, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	require.NoError(t, err)
	block := regexp.MustCompile("(?s)```yaml\n(  risk:\n.*?)```").FindSubmatch(readme)
	require.NotNil(t, block, "the README shows figures of risk")
	return string(block[1])
}

// demoStating is the demo project with more criteria.
func demoStating(t *testing.T, criteria string) string {
	t.Helper()
	folder := t.TempDir()
	require.NoError(t, os.CopyFS(folder, os.DirFS(filepath.Dir(demoProject))))
	project := filepath.Join(folder, "audit.yaml")
	text, err := os.ReadFile(project)
	require.NoError(t, err)
	changed := strings.Replace(string(text), "\ncriteria:\n", "\ncriteria:\n"+criteria, 1)
	require.Equal(t, criteria == "", string(text) == changed)
	require.NoError(t, os.WriteFile(project, []byte(changed), 0o666))
	return project
}

type riskJSON struct {
	LeftOut  int `json:"structures_left_out"`
	RowsOut  int `json:"register_rows_left_out"`
	Rankings []struct {
		By       string
		Lines    int
		Ranked   int `json:"structures_ranked"`
		Left     int `json:"structures_not_assessed"`
		Bare     int `json:"structures_without_assemblies"`
		NotAsked int `json:"structures_not_asked_for"`
	}
	NotAssessed []struct {
		By, Why    string
		Assemblies int
	} `json:"not_assessed"`
	Left []struct {
		By, Line, Structure, Why string
		Assemblies               int
	} `json:"structures_not_assessed"`
	Lines, Structures []rankedJSON
}

type rankedJSON struct {
	By, Line, Structure string
	Rank, Strings       int
	Alone               float64 `json:"risk_worst_string"`
	Together            float64 `json:"risk_as_if_independent"`
	AtLeast             bool    `json:"at_least"`
	Left                int     `json:"assemblies_not_assessed"`
	At                  struct{ Row int }
}

func readRisk(t *testing.T, out string) (told riskJSON) {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join(out, "risk.json"))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(raw, &told))
	return told
}

// The ranking by pollution is that of a plain loop over the register, with both bounds; and everything is ranked or counted with its reason.
func TestRiskIsThatOfEachString(t *testing.T) {
	t.Parallel()
	project, out := riskProject(t), t.TempDir()
	auditInto(t, project, out, "--also", "risk")
	told := readRisk(t, out)

	p, err := read.Project(context.Background(), project)
	require.NoError(t, err)
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), n, 2))
	rule := &p.Criteria.Risk
	phi := func(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }
	type place struct {
		alone, none float64
		strings     int
	}
	want, ofLine, left := map[[2]string]place{}, map[string]place{}, 0
	for l := range n.Lines {
		line := p.Symbols.Text(n.Lines[l].Symbol)
		n.EachAssembly(l, func(s *audit.Subject, at *audit.Location) {
			a := s.Assembly
			if a.Duty == audit.EarthWire || a.Duty == audit.Guy {
				return
			}
			if a.Makeup == nil || a.UnitsPerString < 0 || a.Defective < 0 || a.Duty == audit.DutyUnknown || a.Faulty.Has(audit.CellUnit) {
				left++
				return
			}
			strength, slope, sigma := 0.0, 0.22, 0.08
			perUnit := map[string]float64{"U120B": 6.5, "U70BL": 6.4}
			for i, unit := range a.Units() {
				count := a.UnitsPerString
				if len(a.Units()) > 1 {
					count = a.Makeup.Parts[i].Count
				}
				strength += perUnit[unit.Name] * float64(count-a.Defective)
			}
			unlike := len(a.Units()) > 1
			require.False(t, unlike && a.Defective > 0, "the demo has no defective unit in a string of unlike ones")
			switch unlisted := slices.ContainsFunc(a.Units(), func(u *basis.Unit) bool { return perUnit[u.Name] == 0 }); {
			case !unlisted:
			case !unlike && a.Unit.Material == "glass":
				strength, sigma = 21*a.SoundCreepageMM()/1000, 0.10
			default:
				left++
				return
			}
			site := rule.Site[s.Structure.Class]
			w50 := math.Pow(strength/(n.Lines[l].HighestKV/math.Sqrt(3)), 1/slope)
			r := phi(math.Log(site.Median/w50) / math.Sqrt(site.Sigma*site.Sigma+sigma*sigma/slope/slope))
			strings := a.Strings * a.Phases.Count()
			if a.Side == audit.BothSides {
				strings *= 2
			}
			for key, of := range map[[2]string]map[string]place{{line, n.Number(at.Structure)}: nil, {line}: ofLine} {
				found := want[key]
				if of != nil {
					found = of[line]
				}
				found.alone, found.none, found.strings = max(found.alone, r), found.none+float64(strings)*math.Log1p(-r), found.strings+strings
				if of != nil {
					of[line] = found
				} else {
					want[key] = found
				}
			}
		})
	}
	require.NotEmpty(t, want)
	compare := func(got rankedJSON, of place) {
		t.Helper()
		require.InEpsilon(t, of.alone, got.Alone, 1e-9, "%+v %+v", got, of)
		require.InEpsilon(t, -math.Expm1(of.none), got.Together, 1e-9, got)
		require.Equal(t, of.strings, got.Strings, got)
		require.GreaterOrEqual(t, got.Together, got.Alone*(1-1e-12))
	}
	ranked := 0
	for _, got := range told.Structures {
		if got.By == "pollution" {
			ranked++
			of, known := want[[2]string{got.Line, got.Structure}]
			require.True(t, known, got)
			compare(got, of)
		}
	}
	require.Len(t, want, ranked)
	for _, got := range told.Lines {
		if got.By == "pollution" {
			compare(got, ofLine[got.Line])
		}
	}
	for _, why := range told.NotAssessed {
		if why.By == "pollution" {
			left -= why.Assemblies
		}
	}
	require.Zero(t, left, "each assembly that is not assessed is counted under one reason")

	// Where a phase or a side is missing there are more strings than the register has.
	var audited struct {
		Exceptions []struct{ Check, Line, Structure string }
	}
	raw, err := os.ReadFile(filepath.Join(out, "audit.json"))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(raw, &audited))
	missing := map[[2]string]bool{}
	for _, e := range audited.Exceptions {
		if e.Check == "phase-missing" || e.Check == "side-missing" {
			missing[[2]string{e.Line, e.Structure}] = true
		}
	}
	of := 0
	for _, got := range told.Structures {
		if missing[[2]string{got.Line, got.Structure}] {
			require.True(t, got.AtLeast, got)
			of++
		}
	}
	require.Positive(t, of)

	require.Len(t, told.Rankings, 3)
	for _, k := range told.Rankings {
		require.Equal(t, n.StructureCount(), k.Ranked+k.Left+k.Bare+k.NotAsked, k.By)
	}
	for _, list := range [][]rankedJSON{told.Lines, told.Structures} {
		for i := 1; i < len(list); i++ {
			a, b := list[i-1], list[i]
			if a.By != b.By {
				require.Equal(t, 1, b.Rank)
				continue
			}
			order := cmp.Or(cmp.Compare(b.Alone, a.Alone), cmp.Compare(b.Together, a.Together))
			require.LessOrEqual(t, order, 0, "the greatest first")
			require.Equal(t, order == 0, a.Rank == b.Rank, "what is the same has one rank")
		}
	}
}

// The outputs are the same for any number of workers, and all others stay what they are without the ranking.
func TestRiskRestsOnNoWorkers(t *testing.T) {
	t.Parallel()
	project, one, eight, plain := riskProject(t), t.TempDir(), t.TempDir(), t.TempDir()
	auditInto(t, project, one, "--workers", "1", "--also", "risk")
	auditInto(t, project, eight, "--workers", "8", "--also", "risk")
	requireSameOutputs(t, one, eight)
	auditInto(t, project, plain)
	for _, name := range []string{"audit.html", "structures.geojson", "exceptions.geojson", "history.csv"} {
		with, err := os.ReadFile(filepath.Join(one, name))
		require.NoError(t, err)
		without, err := os.ReadFile(filepath.Join(plain, name))
		require.NoError(t, err)
		require.True(t, string(with) == string(without), name)
	}
	require.NoFileExists(t, filepath.Join(plain, "risk.json"))
	require.NotContains(t, cellsOf(t, filepath.Join(plain, "exceptions.xlsx")), "Risk")

	// The layer has every structure, with the ranks of risk.json.
	told, ranks := readRisk(t, one), map[[2]string]int{}
	for _, s := range told.Structures {
		if s.By == "lightning" {
			ranks[[2]string{s.Line, s.Structure}] = s.Rank
		}
	}
	var layer struct {
		Features []struct {
			Geometry   struct{ Coordinates []float64 }
			Properties struct {
				Line, Structure string
				Rank            *int `json:"lightning_rank"`
			}
		}
	}
	raw, err := os.ReadFile(filepath.Join(one, "risk.geojson"))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(raw, &layer))
	require.Len(t, layer.Features, told.Rankings[0].Ranked+told.Rankings[0].Left+told.Rankings[0].Bare)
	for _, f := range layer.Features {
		require.Len(t, f.Geometry.Coordinates, 2)
		rank, ranked := ranks[[2]string{f.Properties.Line, f.Properties.Structure}]
		require.Equal(t, ranked, f.Properties.Rank != nil)
		if ranked {
			require.Equal(t, rank, *f.Properties.Rank)
		}
	}
}

// Every structure of the layer says how it stands by each kind and, where nothing could be assessed, why and of how many assemblies; what a rank fills is
// of one type, and there only where something is ranked.
func TestRiskLayerTellsWhatIsNotRanked(t *testing.T) {
	t.Parallel()
	out := t.TempDir()
	block := strings.Replace(riskBlock(t), "glass: {A_kV_per_m: 21, a: 0.22, sigma: 0.10}", "none: {A_kV_per_m: 21, a: 0.22, sigma: 0.10}", 1)
	auditInto(t, demoStating(t, block), out, "--also", "risk")
	told := readRisk(t, out)
	left := map[[3]string]int{}
	for i, s := range told.Left {
		left[[3]string{s.By, s.Line, s.Structure}] = i
	}
	raw, err := os.ReadFile(filepath.Join(out, "risk.geojson"))
	require.NoError(t, err)
	require.NotRegexp(t, `(worst_string|as_if_independent)":-?[0-9]+[,}]`, string(raw), "a whole number would make the column one of whole numbers")
	var layer struct {
		Features []struct{ Properties map[string]any }
	}
	require.NoError(t, json.Unmarshal(raw, &layer))
	counts := map[[2]string]int{}
	for _, f := range layer.Features {
		for _, kind := range []string{"pollution", "lightning", "switching"} {
			of := func(column string) any { return f.Properties[kind+"_"+column] }
			state := of("state").(string)
			counts[[2]string{kind, state}]++
			require.Equal(t, state == "ranked", of("rank") != nil)
			require.IsType(t, true, of("at_least"))
			i, isLeft := left[[3]string{kind, f.Properties["line"].(string), f.Properties["structure"].(string)}]
			require.Equal(t, isLeft, state == "not assessed")
			switch state {
			case "not assessed":
				require.Equal(t, told.Left[i].Why, of("why"))
				require.NotEmpty(t, of("why"))
				require.Positive(t, told.Left[i].Assemblies)
				require.Equal(t, float64(told.Left[i].Assemblies), of("not_assessed"))
				require.Equal(t, true, of("at_least"))
			case "nothing hangs":
				require.Equal(t, 0.0, of("not_assessed"))
			}
		}
		require.NotContains(t, f.Properties, "switching_rank", "nothing is ranked by it")
		require.Contains(t, f.Properties, "pollution_rank")
	}
	for _, k := range told.Rankings {
		require.Equal(t, [3]int{k.Ranked, k.Left, k.Bare}, [3]int{counts[[2]string{k.By, "ranked"}], counts[[2]string{k.By, "not assessed"}], counts[[2]string{k.By, "nothing hangs"}]}, k.By)
		require.Positive(t, k.Left+k.Bare)
	}
}

// A structure whose position cannot be read is in no rank and is counted, and so are its rows; its line has at least the risk that it is told with.
func TestRiskOfALineThatMissesAStructure(t *testing.T) {
	t.Parallel()
	whole := t.TempDir()
	auditInto(t, riskProject(t), whole, "--also", "risk")
	before, line := readRisk(t, whole), ""
	for _, l := range before.Lines {
		if l.By == "lightning" && !l.AtLeast {
			line = l.Line
		}
	}
	require.NotEmpty(t, line, "a line of which nothing is missing")
	require.Zero(t, before.LeftOut)
	project := riskProject(t)
	layer := filepath.Join(filepath.Dir(project), "structures.geojson")
	raw, err := os.ReadFile(layer)
	require.NoError(t, err)
	var structures map[string]any
	require.NoError(t, json.Unmarshal(raw, &structures))
	for _, of := range structures["features"].([]any) {
		if f := of.(map[string]any); f["properties"].(map[string]any)["line"] == line {
			f["geometry"] = nil
			break
		}
	}
	raw, err = json.Marshal(structures)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(layer, raw, 0o666))
	out := t.TempDir()
	auditInto(t, project, out, "--also", "risk")
	told := readRisk(t, out)
	require.Equal(t, 1, told.LeftOut)
	require.Greater(t, told.RowsOut, before.RowsOut)
	for _, l := range told.Lines {
		if l.Line == line {
			require.True(t, l.AtLeast, l.By)
		}
	}
	for _, k := range told.Rankings {
		require.Equal(t, len(structures["features"].([]any))-1, k.Ranked+k.Left+k.Bare, k.By)
	}
}

// Of rows that repeat each other and differ the one with most strings counts and the worst is named, in whatever order they stand, and the bounds are told as at
// least; so are those of a line on which a structure may be missing.
func TestRiskOfRowsThatRepeatEachOther(t *testing.T) {
	t.Parallel()
	told := func(strings, defective [2]string) rankedJSON {
		in, folder := island(t), t.TempDir()
		columns, sheet := in.columns("Assemblies"), in.sheets["Assemblies"]
		at := func(name string) int { return slices.Index(columns, name) }
		for i, row := range sheet {
			if row[at("Line")] != "SD-132" || row[at("Structure")] != "T-012" {
				continue
			}
			again := slices.Clone(row)
			for k, of := range [][]string{row, again} {
				of[at("Strings")], of[at("Arrangement")], of[at("Defective units")] = strings[k], "parallel", defective[k]
			}
			in.sheets["Assemblies"] = slices.Insert(sheet, i+1, again)
			break
		}
		in.project += riskBlock(t)
		in.writeAll(t, folder)
		out := filepath.Join(folder, "out")
		runs(t, "audit", filepath.Join(folder, "audit.yaml"), "--out", out, "--also", "risk")
		for _, s := range readRisk(t, out).Structures {
			if s.By == "pollution" && s.Structure == "T-012" {
				return s
			}
		}
		require.Fail(t, "the structure is ranked")
		return rankedJSON{}
	}
	one, other := told([2]string{"2", "3"}, [2]string{"", ""}), told([2]string{"3", "2"}, [2]string{"", ""})
	require.Equal(t, one.Strings, other.Strings)
	require.Equal(t, one.Together, other.Together)
	require.True(t, one.AtLeast && other.AtLeast)
	worse := told([2]string{"2", "2"}, [2]string{"", "3"})
	require.Greater(t, worse.Alone, one.Alone)
	require.Equal(t, other.At.Row+1, worse.At.Row)
}

// A project without figures is told which it wants, and nothing is ranked; one that states some is told which others.
func TestRiskWithoutFigures(t *testing.T) {
	t.Parallel()
	out := t.TempDir()
	auditInto(t, demoProject, out, "--also", "risk")
	require.Empty(t, readRisk(t, out).Rankings)
	raw, err := os.ReadFile(filepath.Join(out, "risk.json"))
	require.NoError(t, err)
	require.Contains(t, string(raw), "The project states no figures under risk, so nothing is ranked")
	sheet := cellsOf(t, filepath.Join(out, "exceptions.xlsx"))["Risk"]
	require.True(t, slices.ContainsFunc(sheet, func(row []string) bool {
		return len(row) > 0 && strings.HasPrefix(row[0], "The project states no figures under risk, so nothing is ranked")
	}))

	auditInto(t, demoStating(t, "  risk: {measure: mg/cm², lightning: {mean_kV: 700}}\n"), out, "--also", "risk")
	told := readRisk(t, out)
	require.Len(t, told.Rankings, 2, "switching is not asked for")
	why := map[string]string{}
	for _, lack := range told.NotAssessed {
		if why[lack.By] == "" {
			why[lack.By] = lack.Why // of most
		}
	}
	require.Contains(t, why["pollution"], "the project states no risk.site_severity of class ")
	require.Equal(t, "the project states no risk.lightning.sigma_kV", why["lightning"])
}

// Figures of some lines take the place of those of the project, and lines without any are counted and not ranked.
func TestRiskOfSomeLines(t *testing.T) {
	t.Parallel()
	project, out := demoStating(t, ""), t.TempDir()
	text, err := os.ReadFile(project)
	require.NoError(t, err)
	own := "for:\n  - {lines: [SD-132], criteria: {risk: {lightning: {mean_kV: 600, sigma_kV: 60, strength_sigma: 0.03, strings: 20}}}}\n"
	require.NoError(t, os.WriteFile(project, append(text, own...), 0o666))
	auditInto(t, project, out, "--also", "risk")
	risk := readRisk(t, out)
	require.Len(t, risk.Rankings, 1)
	k := risk.Rankings[0]
	require.Equal(t, "lightning", k.By)
	require.Equal(t, 60, k.Ranked+k.Left+k.Bare, "the structures of SD-132")
	require.Equal(t, 166-60, k.NotAsked, "of the 166 of the demo")
	require.Equal(t, 20, risk.Lines[0].Strings)
	for _, s := range risk.Structures {
		require.Equal(t, "SD-132", s.Line)
	}
}

// LibreOffice recomputes the formulas of the sheet, those of the far tail of switching too, and all figures of the project stand there.
func TestLibreOfficeAgreesWithTheRisk(t *testing.T) {
	t.Parallel()
	office := tool(t, "soffice")
	out := t.TempDir()
	auditInto(t, demoStating(t, riskBlock(t)+"  switching_exponent: 0.75\n  gap_factor: 1.3\n  arcing_distance: string length less hardware\n"), out, "--also", "risk")
	rows := requireSameSheet(t, office, out, "Risk")
	require.Greater(t, len(rows), 200)
	text := ""
	for _, row := range rows {
		text += strings.Join(row, " ") + "\n"
	}
	for _, figure := range []string{"switching_exponent 0.75", "gap_factor 1.3", "arcing_distance string length less hardware", "site_severity.e.median 0.25", "withstand.U120B.A_kV_per_unit 6.5", "withstand.glass.A_kV_per_m 21", "lightning.strength_sigma 0.03", "switching.strings 100"} {
		require.Contains(t, strings.Join(strings.Fields(text), " "), figure)
	}
}

// explain prints every step of the risk of what hangs at a structure; a calculator gives the same.
func TestExplainTellsTheRisk(t *testing.T) {
	t.Parallel()
	text := printed(t, "explain", riskProject(t), "SD-132", "T-011")
	require.True(t, strings.Contains(text, "risk, for the ranking of audit --also risk"))
	for _, step := range []string{
		"W_50 = (A/(U·K_a))^(1/a) = ", "σ_w = σ_U/a = 0.3636364", "R = Φ(ln(S_50/W_50)/√(σ_s² + σ_w²)) = ", "U_50M = U_50 − 4·Z·(1 − M^(−1/5)) = ",
		"U_w = 0.9616·min(U_50p, U_50n) = ", "N = ", "R_all = 1 − (1 − R_1)^N_1",
		"R_1 = Φ((μ_U − U_50)/√(σ_U² + Z²)) = ", "R_M = ∫ f(U)·P(U) dU = ",
	} {
		require.True(t, strings.Contains(text, step), step)
	}
	require.False(t, strings.Contains(printed(t, "explain", demoProject, "SD-132", "T-011"), "--also risk"))
}

// Nothing calls a probability of one event a rate.
func TestRiskPromisesNoRate(t *testing.T) {
	t.Parallel()
	out := t.TempDir()
	auditInto(t, riskProject(t), out, "--also", "risk")
	raw, err := os.ReadFile(filepath.Join(out, "risk.json"))
	require.NoError(t, err)
	text := strings.ToLower(string(raw))
	for _, row := range cellsOf(t, filepath.Join(out, "exceptions.xlsx"))["Risk"] {
		text += strings.ToLower(strings.Join(row, " "))
	}
	for _, word := range []string{"outage", "failure rate", "per year", "a year"} {
		require.NotContains(t, text, word)
	}
}
