package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// loadNights is a line of four structures, 300 m apart on level ground, with what hangs at structure 2 to be judged by loads and lengths.
type loadNights map[string]string

func newLoadNights(hangs, room string) loadNights {
	structures := "line,structure,lon,lat,ground_m,attachment_m,clearance_mm,arm_length_mm\n"
	for i := range 4 {
		structures += fmt.Sprintf("L1,%d,%.9f,50,100,20,%s,\n", i+1, 10+float64(i)*0.004184345, []string{"", "OWN"}[i%2*(3-i)/2])
	}
	return loadNights{
		"structures.csv": structures,
		"lines.csv": "Line,Nominal voltage (kV),Highest voltage (kV),Conductor,Subconductors,Maximum tension (kN),Everyday tension (kN),Circuits,Phases,Fittings (mm),Clearance (mm),Wall distance (mm),Arm length (mm),Swing limit (deg),Longest string (mm),Section limit (km)\n" +
			"L1,132,145,Lynx,1,28,20,1,A,300," + room + "\n",
		"assemblies.csv": "Line,Structure,Phase,Duty,Side,Unit,Units per string,Arrangement,V angle (deg),Strings,Mounting,Installed,Ball and socket rating (kN)\n" +
			"L1,1,A,tension,ahead,U120B,10,,,,,,\n" + "L1,2,A," + hangs + "\nL1,3,A,tension,both,U120B,10,,,,,,\nL1,4,A,tension,back,U120B,10,,,,,,\n",
		"units.csv": "Unit,Kind,Material,Rating (kN),Cantilever (kN),Compression (kN),Spacing (mm),Creepage (mm),Diameter (mm),Weight (kg)\n" +
			"disc,cap-and-pin,porcelain,50,,,146,320,255,5\npost,post,porcelain,70,12,50,1500,3000,180,50\n",
		"audit.yaml": `structures: {file: structures.csv}
register: {file: [assemblies.csv, lines.csv, units.csv]}
criteria:
  default_class: b
  insulator_factor: {basis: own rule, tension: 2, suspension: 2, cantilever: 2.5, compression: 2, fitting: 2, one_string_broken: 1.5, fitting_one_string_broken: 1.5}
  load_cases:
    - {name: high wind, wind_Pa: 400, tension: maximum}
    - {name: still air, tension: everyday}
  broken_conductor: {share: 0.7, case: everyday, factor: 1.8, basis: own rule}
`,
	}
}

// edit replaces a text that stands in one of the files.
func (n loadNights) edit(t *testing.T, from, to string) {
	if from == "" {
		return
	}
	edited := 0
	for name, text := range n {
		if strings.Contains(text, from) {
			n[name] = strings.Replace(text, from, to, 1)
			edited++
		}
	}
	require.Equal(t, 1, edited, from)
}

// night audits, and says what became of a check at structure 2.
func (n loadNights) night(t *testing.T, folder string, day int, check string) string {
	for name, text := range n {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(strings.ReplaceAll(text, "OWN", "")), 0o666))
	}
	out := filepath.Join(folder, "out")
	code, stderr := auditSince(t, filepath.Join(folder, "audit.yaml"), out, fmt.Sprintf("2026-11-%02d", day))
	require.Equal(t, exitDone, code, stderr)
	text, err := os.ReadFile(filepath.Join(out, "audit.json"))
	require.NoError(t, err)
	var said struct {
		Exceptions, Cleared []struct {
			Check, Structure, State, Why, Detail string
			NothingLost                          bool `json:"nothing_lost"`
		}
	}
	require.NoError(t, json.Unmarshal(text, &said))
	for _, e := range said.Exceptions {
		if e.Check == check && e.Structure == "2" {
			return e.State
		}
	}
	for _, e := range said.Cleared {
		if e.Check == check && e.Structure == "2" {
			if e.NothingLost {
				return "nothing lost, " + e.Detail
			}
			return e.Why + ": " + e.Detail
		}
	}
	return ""
}

// TestWhatLoadsRestOnLost: what fell short by a figure that is blank on the second night, of a load case, an arm, a mounting, a material or a
// limit, is neither cleared nor better, and it is told as lost; where what is stated in its place is more exact, or needs it no more, it is not.
func TestWhatLoadsRestOnLost(t *testing.T) {
	t.Parallel()
	const (
		v      = "suspension,,disc,9,V,60,2,,,"
		single = "suspension,,disc,9,single,,1,,,"
		dated  = "suspension,,disc,9,single,,1,,1970,"
		post   = "post,,post,1,,,,upright,,"
		lost   = ": known before, and blank or not to be read now"
		byCase = "1000; still air: 1600,4000,,,,"
	)
	for name, c := range map[string]struct {
		check, hangs, room string
		first, then        [2]string // edits of the first night and of the second
		says               string    // a beginning
	}{
		"clearance of a case": {"v-set-clearance", v, byCase, [2]string{}, [2]string{"; still air: 1600", ""},
			"not assessed: Clearance of the line under still air" + lost},
		"clearance of a case, another is named": {"v-set-clearance", v, byCase, [2]string{}, [2]string{"still air: 1600", "high wind: 900"},
			"not assessed: Clearance of the line under still air" + lost},
		"clearance of a case, the others have none": {"v-set-clearance", v, "still air: 1600; high wind: 700,4000,,,,", [2]string{}, [2]string{"still air: 1600; ", ""},
			"not assessed: Clearance of the line under still air" + lost},
		"clearance of a case, another figure": {"v-set-clearance", v, byCase, [2]string{}, [2]string{"still air: 1600", "still air: 1200"}, "meets: "},
		"clearance of the rest": {"v-set-clearance", v, "1600; high wind: 700,4000,,,,", [2]string{}, [2]string{"1600; ", ""},
			"not assessed: Clearance of the line" + lost},
		"clearance of the rest, each case is named":    {"v-set-clearance", v, "1600; high wind: 700,4000,,,,", [2]string{}, [2]string{"1600; high wind: 700", "still air: 1000; high wind: 700"}, "meets: "},
		"clearance of the line, the structure has one": {"v-set-clearance", v, byCase, [2]string{}, [2]string{"OWN", "1000"}, "meets: "},
		"clearance of a case of the structure": {"v-set-clearance", v, "1000,4000,,,,", [2]string{"OWN", "1000; still air: 1600"}, [2]string{"1000; still air: 1600", "1000"},
			"not assessed: clearance of the structure under still air" + lost},
		"clearance of a case of the structure, another is named": {"v-set-clearance", v, "1000,4000,,,,", [2]string{"OWN", "still air: 1600"}, [2]string{"still air: 1600", "high wind: 900"},
			"not assessed: clearance of the structure under still air" + lost},
		"clearance of a case that the criteria have no more": {"v-set-clearance", v, "still air: 1600; high wind: 700,4000,,,,", [2]string{},
			[2]string{"name: still air", "name: calm"}, "not assessed: a field it needs is faulty"},
		"swing limit of a case": {"swing", single, ",,,50; high wind: 20,,", [2]string{}, [2]string{"; high wind: 20", ""},
			"not assessed: Swing limit of the line under high wind" + lost},
		"swing limit of a case, the others have none": {"swing", single, ",,,high wind: 20; still air: 60,,", [2]string{}, [2]string{"high wind: 20; ", ""},
			"not assessed: Swing limit of the line under high wind" + lost},
		"swing limit of a case, a clearance": {"swing", single, ",,,50; high wind: 20,,", [2]string{}, [2]string{",,,50; high wind: 20,,", "600,4000,,,,"}, "meets: "},
		"swing limit": {"swing", single, ",,,20,,", [2]string{}, [2]string{",,,20,,", ",,,,,"},
			"not assessed: Swing limit of the line" + lost},
		"arm": {"swing", single, "900,,1500,,,", [2]string{}, [2]string{"900,,1500", "900,,"},
			"not assessed: Arm length of the line" + lost},
		"arm, the wall is stated": {"swing", single, "900,,1500,,,", [2]string{}, [2]string{"900,,1500", "900,4000,"}, "meets: "},
		"arm of the structure": {"swing", single, "900,,,,,", [2]string{",OWN,", ",,1500"}, [2]string{",,1500", ",,"},
			"not assessed: arm length of the structure" + lost},
		"longest string": {"string-too-long", single, ",,,,1300,", [2]string{}, [2]string{",1300,", ",,"},
			"not assessed: Longest string of the line" + lost},
		"section limit, of a string that is too long": {"string-too-long", single, ",,,,1300,9", [2]string{}, [2]string{",1300,9", ",1400,"}, "meets: "},
		"mounting": {"broken-conductor", post, ",,,,,", [2]string{}, [2]string{"upright", ""},
			"standing"},
		"mounting, another is stated": {"broken-conductor", post, ",,,,,", [2]string{}, [2]string{"upright", "horizontal"},
			"better"},
		"mounting, of what is a string now": {"strength", post, ",,,,,", [2]string{"post,post,porcelain,70,12,50", "post,post,porcelain,70,2,2"}, [2]string{post, single}, "meets: "},
		"material, by which a factor goes": {"strength", single, ",,,,,", [2]string{"basis: own rule, tension", "basis: own rule, by: [{for: suspension, material: porcelain, factor: 15, basis: own rule}], tension"},
			[2]string{"disc,cap-and-pin,porcelain", "disc,cap-and-pin,"}, "not assessed: Material of the unit disc" + lost},
		"material, by which none goes": {"strength", single, ",,,,,", [2]string{"cap-and-pin,porcelain,50", "cap-and-pin,porcelain,5"},
			[2]string{"disc,cap-and-pin,porcelain,5", "disc,cap-and-pin,,50"}, "meets: "},
		"date, by which a factor goes": {"strength", dated, ",,,,,", [2]string{"basis: own rule, tension", "basis: own rule, by: [{for: suspension, installed_before: 1985, factor: 15, basis: own rule}], tension"},
			[2]string{dated, single}, "not assessed: Installed" + lost},
		"date, by which none goes": {"strength", dated, ",,,,,", [2]string{"cap-and-pin,porcelain,50", "cap-and-pin,porcelain,5"},
			[2]string{dated, strings.Replace(single, "disc", "U120B", 1)}, "meets: "},
		"V angle, single now": {"v-set-clearance", v, byCase, [2]string{}, [2]string{v, single}, "does not apply: no V set"},
		"V angle, tension now": {"v-set-clearance", v, byCase, [2]string{}, [2]string{v, "tension,both,disc,9,single,,,,,"},
			"does not apply: no suspension assembly"},
		"V angle, nobody says how they hang": {"v-set-clearance", v, byCase, [2]string{}, [2]string{v, "suspension,,disc,9,,,,,,"},
			"not assessed: Arrangement: blank now"},
		"V angle, strength of a single string": {"strength", "suspension,,disc,9,V,140,2,,,", ",,,,,", [2]string{"suspension: 2,", "suspension: 16,"}, [2]string{"suspension,,disc,9,V,140,2,,,", "suspension,,U120B,9,single,,1,,,"}, "meets: "},
		"ball and socket, one string now": {"fitting-strength-one-string-broken", "suspension,,disc,9,parallel,,2,,,4", ",,,,,", [2]string{}, [2]string{"suspension,,disc,9,parallel,,2,,,4", single},
			"does not apply: no parallel strings"},
		"ball and socket, nobody says how many strings": {"fitting-strength-one-string-broken", "suspension,,disc,9,parallel,,2,,,4", ",,,,,", [2]string{}, [2]string{"suspension,,disc,9,parallel,,2,,,4", "suspension,,disc,9,,,,,,"},
			"not assessed: Strings: blank now"},
		"a factor that changed": {"strength", single, ",,,,,", [2]string{"suspension: 2,", "suspension: 20,"}, [2]string{"suspension: 20,", "suspension: 16,"}, "standing"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			n, folder := newLoadNights(c.hangs, c.room), t.TempDir()
			n.edit(t, c.first[0], c.first[1])
			require.Equal(t, "new", n.night(t, folder, 1, c.check))
			n.edit(t, c.then[0], c.then[1])
			said := n.night(t, folder, 2, c.check)
			require.True(t, strings.HasPrefix(said, c.says), said)
			require.Equal(t, said, n.night(t, folder, 2, c.check), "repeated")
		})
	}
}

// What is worse since a figure is not stated any more is told as that, with the figure, and what is new beside it as what may be.
func TestWorseByALostFigure(t *testing.T) {
	const structures = ",Slip load (kN)\nL1,1,A,tension,ahead,U120B,10,,,,,,,\n"
	in := newLoadNights("suspension,,disc,10,,,,,,,12\nL1,2,B,suspension,,disc,10,,,,,,,1", ",,,,,")
	in.edit(t, "\nL1,1,A,tension,ahead,U120B,10,,,,,,\n", structures)
	in.edit(t, "porcelain,50,", "porcelain,20,")
	in.edit(t, ",1,A,300", ",1,\"A,B\",300")
	folder := t.TempDir()
	said := func(day int) string {
		in.night(t, folder, day, "broken-conductor")
		code, stderr := auditSince(t, filepath.Join(folder, "audit.yaml"), filepath.Join(folder, "out"), fmt.Sprintf("2026-11-%02d", day))
		require.Equal(t, exitDone, code, stderr)
		return stderr
	}
	require.Contains(t, said(1), "first run")
	in.edit(t, ",12\n", ",\n")
	require.Contains(t, said(2), "since 1 November 2026: 1 worse (1 rests on what is not stated any more, such as Slip load)\n")
	in.edit(t, ",1\n", ",\n")
	require.Contains(t, said(3), "since 2 November 2026: 1 new\n")
}
