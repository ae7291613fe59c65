package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What stops a remedy is what in truth stands against it, and what the register says of horns stays. Each case is a line of four structures of which the
// second is looked at, where the line turns if the criteria state a limit for that; want is in what explain proposes for it, never is not.
func TestLimitsOfRemediesAreThoseThatHold(t *testing.T) {
	const (
		of220     = "Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Lightning level (kV),Longest string (mm)\nA,1,ABC,220,245,950,"
		composite = "Unit,Kind,Material,Rating (kN),Spacing (mm),Creepage (mm),Arcing (mm),Lightning withstand (kV),Coupling,Stocked\nSIL-220,composite,silicone rubber,120,2250,7400,2020,1060,16,yes\nU70BL,,,,,,,,,yes\nU120BP,,,,,,,,,yes\n"
		rods      = "Unit,Kind,Material,Rating (kN),Spacing (mm),Creepage (mm),Coupling,Lightning withstand (kV),Arcing (mm),Stocked\nLRa,long rod,porcelain,120,1300,3200,16,,,yes\nLRc,long rod,porcelain,120,1300,4300,16,700,,yes\nCOa,composite,silicone rubber,120,1450,3900,16,,1250,yes\n"
		of132     = "Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Lightning level (kV)\nA,1,ABC,132,145,650\n"
		discs     = "Line,Structure,Phase,Duty,Unit,Units per string,Arcing (mm)\nA,1,ABC,tension,U120B,20,\nA,4,ABC,tension,U120B,20,\n"
		on220     = "Line,Structure,Phase,Duty,Unit,Units per string,Arcing (mm)\nA,1,ABC,tension,SIL-220,,\nA,3,ABC,suspension,SIL-220,,\nA,4,ABC,tension,SIL-220,,\n"
		swings    = "default_class: b, insulator_factor: {basis: own, tension: 2.5, suspension: 2.5, one_string_broken: 1.5, fitting: 2.5}, load_cases: [{name: high wind, wind_Pa: 500, tension: maximum}, {name: still air, tension: everyday}"
		room      = "Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Lightning level (kV),Fittings (mm),Longest string (mm),Conductor,Maximum tension (kN),Everyday tension (kN),Everyday temperature (C),Clearance (mm),Wall distance (mm),Arm length (mm),Clamp rating (kN)\nA,1,ABC,220,245,"
		stock     = "Unit,Kind,Material,Rating (kN),Spacing (mm),Creepage (mm),Arcing (mm),Lightning withstand (kV),Coupling,Stocked\n"
		ends      = "A,1,ABC,tension,END,,,,,,\nA,4,ABC,tension,END,,,,,,\n"
		ended     = stock + "END,composite,silicone rubber,120,2000,30000,5000,3000,,no\n"
		stated    = "Line,Structure,Phase,Duty,Unit,Units per string,Strings,Defective units,Creepage (mm),Arcing (mm),Wet withstand (kV)\n" + ends + "A,3,ABC,suspension,CL,,,,,,\n"
		pins      = "Unit,Kind,Material,Cantilever (kN),Creepage (mm),Diameter (mm),Arcing (mm),Lightning withstand (kV),Stocked\nPIN33,pin,porcelain,11,720,230,310,200,yes\n"
		of33      = "Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Lightning level (kV),Conductor,Maximum tension (kN),Everyday tension (kN)\nA,1,ABC,33,36,170,Dog,9,5\n"
		onPins    = "Line,Structure,Phase,Duty,Unit,Units per string,Defective units\nA,1,ABC,tension,U70BL,4,0\nA,3,ABC,pin,PIN33,,0\nA,4,ABC,tension,U70BL,4,0\n"
		posts     = "Unit,Kind,Material,Rating (kN),Cantilever (kN),Compression (kN),Spacing (mm),Creepage (mm),Lightning withstand (kV),Stocked\nPA,post,porcelain,20,8,20,250,250,130,no\nPC,post,porcelain,20,12.5,20,250,420,130,yes\nU70BL,,,,,,,,,yes\n"
		weaker    = posts + "PB,post,porcelain,20,4,20,250,330,130,yes\n"
		of11      = "Line,Circuits,Phases,Nominal voltage (kV),Conductor,Maximum tension (kN)\nA,1,ABC,11,Dog,9\n"
		onPosts   = "Line,Structure,Phase,Duty,Unit,Units per string,Mounting\nA,1,ABC,tension,U70BL,2,\nA,3,ABC,post,PC,,upright\nA,4,ABC,tension,U70BL,2,\n"
		bends     = "default_class: d, insulator_factor: {basis: own, tension: 2, suspension: 2, cantilever: 10, compression: 2}, load_cases: [{name: wind, wind_Pa: 400, tension: maximum}]"
		horns     = "The gap of the arcing horns, 1050 mm, governs however long the string is"
	)
	for name, c := range map[string]struct {
		criteria, units, lines, rows string
		want, never                  []string
	}{
		"horns, where discs would be too long beside": {
			"default_class: c", composite, of220 + "2400\n", "Line,Structure,Phase,Duty,Unit,Units per string,Arcing (mm)\nA,1,ABC,tension,U70BL,9,\nA,2,ABC,suspension,U70BL,8,1050\nA,3,ABC,suspension,U70BL,8,\nA,4,ABC,tension,U70BL,9,\n", []string{horns}, []string{"the line allows"},
		},
		"the same without horns": {
			"default_class: c", composite, of220 + "2400\n", on220 + "A,2,ABC,suspension,U70BL,8,\n", []string{"(another unit)"}, nil,
		},
		"horns of a composite": {
			"default_class: c", composite, of220 + "2400\n", on220 + "A,2,ABC,suspension,SIL-220,,1050\n", []string{horns}, []string{"(another unit)", "(new units", "contradict"},
		},
		"horns, or the own distance, of a rod whose type states none": {
			"default_class: d", rods, of132, discs + "A,3,ABC,suspension,LRc,1,\nA,2,ABC,suspension,LRc,1,1100\n", []string{"not known what serves", "Whether the 1100 mm that the register states as the arcing distance of 1 × LRc"}, []string{"(new units"},
		},
		"horns where another insulator would take the place": {
			"default_class: d", rods, of132, discs + "A,3,ABC,suspension,LRc,1,\nA,2,ABC,suspension,LRa,1,1150\n", []string{"not known what serves"}, []string{"(another unit)"},
		},
		"horns, and a short composite that has too little creepage": {
			"default_class: c", "Unit,Kind,Material,Rating (kN),Spacing (mm),Creepage (mm),Arcing (mm),Lightning withstand (kV),Coupling,Stocked\nSIL-110,composite,silicone rubber,120,1180,3300,1010,560,16,yes\nU120B,,,,,,,,,yes\n",
			of220 + "\n", discs + "A,3,ABC,suspension,U120B,17,\nA,2,ABC,suspension,U120B,9,1050\n", []string{horns}, []string{"SIL-110 has"},
		},
		"pins without a length": {
			"default_class: d", pins + "PIN33L,pin,porcelain,11,1020,280,400,210,yes\n", of33, onPins + "A,2,ABC,pin,PIN33,,0\n", []string{"1 × PIN33L (another unit)"}, nil,
		},
		"a pin that reaches less far": {
			"default_class: d", pins + "PIN33L,pin,porcelain,11,1020,280,300,210,yes\n", of33, onPins + "A,2,ABC,pin,PIN33,,0\n", []string{"not known what serves: 1 × PIN33L has 300 mm of arcing distance, what hangs there or on the line 310"}, nil,
		},
		"a failed pin, and what no sound one tells either": {
			"default_class: b, broken_conductor: {share: 0.6, factor: 1.5, basis: own}", pins, of33, onPins + "A,2,ABC,pin,PIN33,,1\n", []string{"change 1 to 3 × PIN33 (sound units for defective ones)", "open: broken-conductor, not assessed"}, nil,
		},
		"strings side by side, where one load case is not judged today": {
			"default_class: c, crossing_rules: {road: double}, insulator_factor: {basis: own, tension: 2.5, suspension: 2.5, one_string_broken: 1.5}, load_cases: [{name: high wind, wind_Pa: 500, tension: maximum}, {name: still air, tension: everyday}, {name: cold, tension: everyday}]", "",
			room + "850,400,2900,Zebra,42,26,,high wind: 600; still air: 1900,3900,4200,\n", "Line,Structure,Phase,Duty,Unit,Units per string,Arcing (mm)\nA,1,ABC,tension,U120B,16,\nA,2,ABC,suspension,U120B,15,2000\nA,3,ABC,suspension,U120B,15,2000\nA,4,ABC,tension,U120B,16,\n",
			[]string{"2 strings of 17 × U120B (more strings side by side)", "open: swing, not assessed"}, nil,
		},
		"horns, where tension sets would not swing": {
			swings + "]", composite, room + "950,320,,Lynx,31,14,,high wind: 550; still air: 1900,2600,2900,160\n", on220 + "A,2,ABC,suspension,U70BL,8,1050\n", []string{horns}, []string{"another duty", "the clamp"},
		},
		"a V set too short by a little, and a load case that cannot be judged": {
			swings + ", {name: ice, ice_mm: 15, ice_density: 900, temperature_C: -5, tension: calculated}]", "", room + "850,400,2900,Zebra,42,26,10,high wind: 600; still air: 1900,3900,4200,\n",
			"Line,Structure,Phase,Duty,Arrangement,V angle (deg),Unit,Units per string,Strings\nA,1,ABC,tension,parallel,,U120B,16,2\nA,2,ABC,suspension,V,90,U120B,15,2\nA,3,ABC,suspension,V,90,U120B,16,2\nA,4,ABC,tension,parallel,,U120B,16,2\n",
			[]string{"not known what serves: v-set-clearance of 2 strings of 16 × U120B cannot be judged"}, []string{"another duty"},
		},
		"horns that are no wider on a shorter string": {
			"default_class: b", "", of132, discs + "A,3,ABC,suspension,U120B,12,\nA,2,ABC,suspension,U120B,12,1050\n", []string{horns}, []string{"cannot be judged"},
		},
		"horns of a suspension set that gives way to tension sets": {
			"default_class: b, deviation_limit_deg: 3", "", strings.Replace(of132, "650", "450", 1), discs + "A,3,ABC,suspension,U120B,12,\nA,2,ABC,suspension,U120B,12,1100\n", []string{"(another duty)", "open: lightning-withstand, not assessed"}, nil,
		},
		"horns, and what swing lacks": {
			swings + "]", "Unit,Kind,Stocked\nU120B,,yes\n", strings.Replace(room, "Fittings (mm),", "Fittings (mm),Superseded figures,", 1) + ",,,2500,Lynx,31,14,,1000,2600,2900,160\n", discs + "A,3,ABC,suspension,U120B,14,\nA,2,ABC,suspension,U120B,20,900\n",
			[]string{"length of the string with its fittings nor fittings of the line stated"}, []string{"arcing distance is of what hangs"},
		},
		"fittings in the stated length of a string of which no unit stays": { // 9 × 146 mm and the 600 mm by which 1768 mm is more than 8 × 146 mm
			"default_class: d, insulator_factor: {basis: own, tension: 2, suspension: 2}, load_cases: [{name: wind, wind_Pa: 480, tension: maximum}]", "Unit,Stocked,Weight (kg)\nU120BP,yes,5\nU120B,no,5\n",
			"Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Conductor,Maximum tension (kN),Clearance (mm),Wall distance (mm),Fittings (mm)\nA,1,ABC,132,145,Lynx,22,900,2200,300\n",
			"Line,Structure,Phase,Duty,Unit,Units per string,Length (mm)\nA,1,ABC,tension,U120BP,14,\nA,2,ABC,suspension,U120B,8,1768\nA,3,ABC,suspension,U120BP,9,\nA,4,ABC,tension,U120BP,14,\n",
			[]string{"with 1914 mm of string the clearance"}, []string{"to fit"},
		},
		"a tested value that cannot be read, and another type of unit": {
			"default_class: d", "Unit,Stocked\nU120BP,yes\nU120B,no\n", of132,
			"Line,Structure,Phase,Duty,Unit,Units per string,Lightning withstand (kV)\nA,1,ABC,tension,U120BP,14,\nA,2,ABC,suspension,U120B,8,?\nA,3,ABC,suspension,U120BP,9,\nA,4,ABC,tension,U120BP,14,\n",
			[]string{"9 × U120BP (another unit)", "open: lightning-withstand, not assessed"}, nil,
		},
		"a tested value of a number of units that cannot be read": { // its share of what the table gives is not known; 8 discs would have 0.56
			"default_class: d", "Unit,Stocked\nU120BP,yes\nU120B,no\n", of132,
			"Line,Structure,Phase,Duty,Unit,Units per string,Lightning withstand (kV)\nA,1,ABC,tension,U120BP,14,\nA,2,ABC,suspension,U120B,?,500\nA,3,ABC,suspension,U120BP,9,\nA,4,ABC,tension,U120BP,14,\n",
			[]string{"lightning-withstand of 9 × U120BP cannot be judged: what is stated of a test is of what hangs there"}, []string{"to fit"},
		},
		"a tested wet withstand that is too little, where advisories are not to be mended": { // 180 of the 301.5 kV of 8 discs; of the 337.5 kV of 9 that is 201 kV, and 275 kV is needed (computed)
			"default_class: d", "Unit,Stocked\nU120BP,yes\nU120B,no\n", of132,
			"Line,Structure,Phase,Duty,Unit,Units per string,Wet withstand (kV)\nA,1,ABC,tension,U120BP,14,\nA,2,ABC,suspension,U120B,8,180\nA,3,ABC,suspension,U120BP,9,\nA,4,ABC,tension,U120BP,14,\n",
			[]string{"9 × U120BP (another unit)", "open: wet-withstand, not assessed"}, []string{"also mended by this job: advisory wet-withstand"},
		},
		"a tested wet withstand of which the share is enough": { // 290 of 301.5 kV
			"default_class: d", "Unit,Stocked\nU120BP,yes\nU120B,no\n", of132,
			"Line,Structure,Phase,Duty,Unit,Units per string,Wet withstand (kV)\nA,1,ABC,tension,U120BP,14,\nA,2,ABC,suspension,U120B,8,290\nA,3,ABC,suspension,U120BP,9,\nA,4,ABC,tension,U120BP,14,\n",
			[]string{"9 × U120BP (another unit)"}, []string{"open: wet-withstand"},
		},
		"tested values that cannot be read, where tension sets take the place": {
			"default_class: b, deviation_limit_deg: 3", "Unit,Stocked\nU120BP,yes\nU120B,yes\n", of132,
			"Line,Structure,Phase,Duty,Unit,Units per string,Lightning withstand (kV),Wet withstand (kV)\nA,1,ABC,tension,U120BP,14,,\nA,2,ABC,suspension,U120B,12,?,180\nA,3,ABC,suspension,U120BP,9,,\nA,4,ABC,tension,U120BP,14,,\n",
			[]string{"(another duty)", "open: lightning-withstand, not assessed", "open: wet-withstand, not assessed"}, []string{"also mended by this job: advisory wet-withstand"},
		},
		"why not fewer": { // an arcing distance of a post that nobody can read may be of horns
			"default_class: d, deviation_limit_deg: 3, pin_deviation_limit_deg: 3", "Unit,Kind,Material,Spacing (mm),Creepage (mm),Arcing (mm),Stocked\nPO,post,porcelain,1500,4200,1380,no\nU120B,,,,,,yes\nU120BP,,,,,,no\n", of132,
			"Line,Structure,Phase,Duty,Unit,Units per string,Arcing (mm)\nA,1,ABC,tension,U120BP,14,\nA,2,ABC,post,PO,1,?\nA,3,ABC,post,PO,1,\nA,4,ABC,tension,U120BP,14,\n",
			[]string{"14 × U120B (another duty)", "Not fewer: 13 × U120B has 1898 mm of length, what hangs there or on the line 2044"}, nil,
		},
		"a rod that is too long, and whose creepage is too little however long a string may be": {
			"default_class: d", "Unit,Kind,Material,Rating (kN),Spacing (mm),Creepage (mm),Arcing (mm),Coupling,Stocked\nLR,long rod,porcelain,120,1300,3000,1060,16,yes\nU120BP,,,,,,,,yes\n",
			"Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Longest string (mm)\nA,1,ABC,132,145,1200\n", "Line,Structure,Phase,Duty,Unit,Units per string\nA,1,ABC,tension,U120BP,8\nA,2,ABC,suspension,U120BP,8\nA,3,ABC,suspension,U120BP,8\nA,4,ABC,tension,U120BP,8\n",
			[]string{"needs 9 × U120BP, 1314 mm long; the line allows 1200 mm"}, []string{"1 × LR is 1300 mm"},
		},
		// What a row states better than the type is of what hangs there, not of a new unit in its place or beside it.
		"more creepage than the type has, of an insulator that failed": {
			"default_class: c", ended + "CL,composite,silicone rubber,120,1500,2800,1200,,,yes\n", of132, stated + "A,2,ABC,suspension,CL,,,1,4000,,\n",
			[]string{"1 × CL has 2800 mm of creepage"}, []string{"sound units for"},
		},
		"more creepage than the type has, of a string of discs of which some are broken": { // of 3000 mm of 9 discs 4 have 333 mm each, and new ones 295 mm: 2846.7 of 2904.9 mm (computed)
			"default_class: c", ended + "U120B,,,,,,,,,yes\n", of132, "Line,Structure,Phase,Duty,Unit,Units per string,Defective units,Creepage (mm),Rating (kN),Length (mm),Remarks\n" + ends + "A,3,ABC,suspension,U120B,10,,,,,\nA,2,ABC,suspension,U120B,9,4,3000,,,\n",
			[]string{"10 × U120B (more units)"}, []string{"sound units for"},
		},
		"more arcing distance than the type has, of an insulator that failed": { // 651 kV at 1200 mm, 787 kV at 1450 mm
			"default_class: b", ended + "CL,composite,silicone rubber,120,1500,3000,1200,,,yes\n", strings.Replace(of132, "650", "700", 1), stated + "A,2,ABC,suspension,CL,,,1,,1450,\n",
			[]string{"1 × CL withstands 651 kV of lightning impulse"}, []string{"sound units for"},
		},
		"the same of a string to hang beside": {
			"default_class: b, crossing_rules: {road: double}", ended + "CL,composite,silicone rubber,120,1500,3000,1200,,,yes\n", strings.Replace(of132, "650", "700", 1), stated + "A,2,ABC,suspension,CL,,,,,1450,\n",
			[]string{"2 strings of 1 × CL withstands 651 kV of lightning impulse"}, []string{"side by side)"},
		},
		"a rating and a creepage that cannot be read, of the same discs in tension": {
			"default_class: c, deviation_limit_deg: 3, insulator_factor: {basis: own, tension: 2, suspension: 2}, load_cases: [{name: wind, wind_Pa: 300, tension: maximum}]", "Unit,Stocked\nU120B,yes\n", "Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Lightning level (kV),Conductor,Maximum tension (kN)\nA,1,ABC,132,145,650,Panther,25\n",
			"Line,Structure,Phase,Duty,Unit,Units per string,Creepage (mm),Rating (kN)\nA,1,ABC,tension,U120B,10,,\nA,4,ABC,tension,U120B,10,,\nA,3,ABC,suspension,U120B,10,,\nA,2,ABC,suspension,U120B,10,?,?\n",
			[]string{"(another duty)", "open: strength, not assessed", "open: creepage, not assessed"}, nil,
		},
		"fittings in a stated length, where the same units would hang anew": {
			"default_class: c", "Unit,Stocked\nU120BP,yes\n", "Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Lightning level (kV),Longest string (mm)\nA,1,ABC,132,145,650,1600\n",
			"Line,Structure,Phase,Duty,Unit,Units per string,Length (mm)\nA,1,ABC,tension,U120BP,9,\nA,2,ABC,suspension,U120BP,9,1654\nA,3,ABC,suspension,U120BP,9,\nA,4,ABC,tension,U120BP,9,\n", []string{"8 × U120BP (fewer units)"}, []string{"new units for all"},
		},
		"fittings in a stated length beside a longest string, and another unit": { // 8 × 146 mm and the 240 mm by which 1554 mm is more than 9 × 146 mm
			"default_class: c", "Unit,Stocked\nU120BP,yes\nU120B,no\n", "Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Lightning level (kV),Longest string (mm)\nA,1,ABC,132,145,650,1400\n",
			"Line,Structure,Phase,Duty,Unit,Units per string,Length (mm)\nA,1,ABC,tension,U120BP,9,\nA,2,ABC,suspension,U120B,9,1554\nA,3,ABC,suspension,U120BP,9,\nA,4,ABC,tension,U120BP,9,\n", []string{"8 × U120BP is stated to be 1408 mm long; the line allows 1400 mm"}, []string{"to fit"},
		},
		"legs of a V set that get longer, where no clearance is stated": { // half of the attachments' distance 1554·sin 45° = 1099 mm; legs of 1846 mm: 2·asin(1099/1846) = 73.1° (computed)
			"default_class: c", "Unit,Stocked\nU120B,yes\n", of132, "Line,Structure,Phase,Duty,Arrangement,V angle (deg),Unit,Units per string,Strings,Length (mm)\nA,1,ABC,tension,,,U120B,16,,\nA,2,ABC,suspension,V,90,U120B,9,2,1554\nA,3,ABC,suspension,,,U120B,11,,\nA,4,ABC,tension,,,U120B,16,,\n",
			[]string{"a V set of 8"}, []string{"a V set of 90° (more units)"},
		},
		"strings side by side on fittings of the line": {
			swings + "], crossing_rules: {road: double}", "", strings.Replace(room, "Clamp rating (kN)", "Remarks", 1) + "650,250,,Lynx,31,14,,high wind: 700; still air: 1200,4000,4500,\n", "Line,Structure,Phase,Duty,Unit,Units per string\nA,1,ABC,tension,U120B,16\nA,2,ABC,suspension,U120B,16\nA,3,ABC,suspension,U120B,16\nA,4,ABC,tension,U120B,16\n",
			[]string{"2 strings of 16 × U120B (more strings side by side)"}, []string{"open: swing"},
		},
		"a wet test, which tells nothing of lightning": {
			"default_class: b, crossing_rules: {road: double}", ended + "CL,composite,silicone rubber,120,1500,3000,1200,,,yes\n", strings.Replace(of132, "650", "550", 1), stated + "A,2,ABC,suspension,CL,,,,,,300\n",
			[]string{"2 strings of 1 × CL (more strings side by side)", "open: wet-withstand, not assessed"}, []string{"open: lightning-withstand"},
		},
		"horns that are wider than another insulator by itself": { // 597 kV at its 1100 mm, 624 kV at 1150 mm (computed)
			"default_class: c", ended + "CL,composite,silicone rubber,120,1500,2000,1250,,16,no\nCL2,composite,silicone rubber,120,1500,4000,1100,,16,yes\n", strings.Replace(of132, "650", "610", 1), stated + "A,2,ABC,suspension,CL,,,,,1150,\n",
			[]string{"1 × CL2 withstands 597 kV"}, []string{"(another unit)"},
		},
		"a row whose phases cannot be read, beside others": {
			"default_class: c", "Unit,Stocked\nU120B,yes\n", of132, "Line,Structure,Phase,Duty,Unit,Units per string\nA,1,ABC,tension,U120B,10\nA,2,A,suspension,U120B,9\nA,2,B,suspension,U120B,9\nA,2,?,suspension,U120B,9\nA,3,ABC,suspension,U120B,10\nA,4,ABC,tension,U120B,10\n",
			[]string{"phases A,B: 10 × U120B (more units)", "open: creepage, still falls short"}, []string{"nothing serves", "open: creepage, still falls short\n  open: creepage, still falls short"},
		},
		"a creepage that is judged, beside other discs that have more": {
			"default_class: c, insulator_factor: {basis: own, tension: 3, suspension: 2}, load_cases: [{name: wind, wind_Pa: 300, tension: maximum}]", "Unit,Stocked\nU120B,yes\nU70BLP,no\n", "Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Conductor,Maximum tension (kN)\nA,1,ABC,132,145,Zebra,50\n",
			"Line,Structure,Phase,Duty,Side,Unit,Units per string,Strings,Arrangement\nA,1,ABC,tension,,U120B,10,2,parallel\nA,2,ABC,tension,both,U70BLP,10,2,parallel\nA,3,ABC,suspension,,U120B,10,,\nA,4,ABC,tension,,U120B,10,2,parallel\n",
			[]string{"2 strings of 10 × U120B (another unit)"}, nil,
		},
		"a rating of a clamp that is not believed": { // five times the 70 kN of what hangs there is less than its 400 kN
			"default_class: c, insulator_factor: {basis: own, tension: 2, suspension: 2, fitting: 2}, load_cases: [{name: wind, wind_Pa: 300, tension: maximum}], deviation_limit_deg: 3", "Unit,Stocked\nU160BL,yes\n", "Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Conductor,Maximum tension (kN)\nA,1,ABC,132,145,Zebra,42\n",
			"Line,Structure,Phase,Duty,Unit,Units per string,Clamp rating (kN)\nA,1,ABC,tension,U160BL,10,\nA,2,ABC,suspension,U70BL,10,400\nA,3,ABC,suspension,U160BL,10,\nA,4,ABC,tension,U160BL,10,\n",
			[]string{"× U160BL (another duty)", "open: fitting-strength, not assessed"}, nil,
		},
		"as many strings as phases, on all rows": {
			"default_class: b, insulator_factor: {basis: own, tension: 2, suspension: 2}, load_cases: [{name: wind, wind_Pa: 300, tension: maximum}]", "Unit,Stocked\nU70BL,yes\n", "Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Conductor,Maximum tension (kN)\nA,1,ABC,132,145,Zebra,85\n",
			"Line,Structure,Phase,Duty,Side,Unit,Units per string,Strings,Arrangement\nA,1,ABC,tension,,U70BL,10,2,parallel\nA,2,ABC,tension,both,U70BL,10,2,parallel\nA,3,ABC,tension,both,U70BL,10,2,parallel\nA,4,ABC,tension,,U70BL,10,2,parallel\n",
			[]string{"3 strings of 10 × U70BL", "a row for each phase tells it without doubt"}, nil,
		},
		"a length that cannot be read, beside a longest string": {
			"default_class: c", "", "Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Conductor,Everyday tension (kN),Maximum tension (kN),Cold tension (kN),Longest string (mm)\nA,1,ABC,132,145,Zebra,25,40,32,1500\n",
			"Line,Structure,Phase,Duty,Unit,Units per string,Strings,Length (mm)\nA,1,ABC,tension,U120B,11,1,\nA,2,ABC,suspension,U120B,8,2,?\nA,3,ABC,suspension,U120B,10,2,\nA,4,ABC,tension,U120B,11,1,\n",
			[]string{"not known what serves"}, nil,
		},
		"horns, and a coupling that is not stated": {
			"default_class: c", ended + "CL,composite,silicone rubber,120,1500,2000,1200,,,no\nCL2,composite,silicone rubber,120,1500,4000,1200,,,yes\n", strings.Replace(of132, "650", "550", 1), stated + "A,2,ABC,suspension,CL,,,,,1000,\n",
			[]string{"The gap of the arcing horns, 1000 mm, governs"}, []string{"No unit to choose from"},
		},
		"a number of strings that cannot be read, and a coupling that is not stated": {
			"default_class: c", ended + "CL,composite,silicone rubber,,1500,2000,1200,,,no\nCL2,composite,silicone rubber,120,1500,4000,1200,,,yes\n", strings.Replace(of132, "650", "550", 1), stated + "A,2,ABC,suspension,CL,,?,,,,\n",
			[]string{"not known what serves"}, []string{"No unit to choose from"},
		},
		"too long, where no level tells whether less would do": {
			"default_class: b", "Unit,Stocked\nU120B,yes\n", "Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Longest string (mm)\nA,1,ABC,132,145,2200\n",
			"Line,Structure,Phase,Duty,Unit,Units per string\nA,1,ABC,tension,U120B,14\nA,2,ABC,suspension,U120B,17\nA,3,ABC,suspension,U120B,14\nA,4,ABC,tension,U120B,14\n",
			[]string{"not known what serves: 15 × U120B has 2190 mm of length, what hangs there or on the line 2482, and the checks cannot judge whether less would do"}, []string{"the line allows"},
		},
		// What the line states of fittings is of any set, and a length that is the units' and that is no other.
		"strings side by side, and a stated length that is the units' and the line's fittings": { // 16 × 146 mm and 250 mm
			swings + "], crossing_rules: {road: double}", "", strings.Replace(room, "Clamp rating (kN)", "Remarks", 1) + "650,250,,Lynx,31,14,,high wind: 700; still air: 1200,4000,4500,\n", "Line,Structure,Phase,Duty,Unit,Units per string,Length (mm)\nA,1,ABC,tension,U120B,16,\nA,2,ABC,suspension,U120B,16,2586\nA,3,ABC,suspension,U120B,16,\nA,4,ABC,tension,U120B,16,\n",
			[]string{"2 strings of 16 × U120B (more strings side by side)"}, nil,
		},
		"an advisory that the work brings on the side that had none": { // creepage of 3835 mm beside 9 × 445 mm
			"default_class: d, insulator_factor: {basis: own, tension: 2, suspension: 2, one_string_broken: 1.5}, load_cases: [{name: high wind, wind_Pa: 400, tension: maximum}], crossing_rules: {road: double}",
			"Unit,Kind,Material,Rating (kN),Spacing (mm),Creepage (mm),Diameter (mm),Weight (kg),Coupling,Arcing (mm),Stocked\nU120F,cap-and-pin,glass,120,146,445,280,6,16,,yes\nP70,cap-and-pin,porcelain,70,146,295,255,4.5,16,,no\nCR145,composite,silicone rubber,120,1500,4600,120,6,16,1280,no\n",
			"Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Lightning level (kV),Conductor,Maximum tension (kN),Everyday tension (kN)\nA,1,ABC,132,145,550,Wolf,22,15\n",
			"Line,Structure,Phase,Side,Duty,Arrangement,Unit,Units per string,Strings\nA,1,ABC,,tension,parallel,U120F,13,2\nA,2,ABC,back,tension,parallel,P70,13,2\nA,2,ABC,ahead,tension,parallel,CR145,1,2\nA,3,ABC,,suspension,,P70,13,1\nA,4,ABC,,tension,parallel,U120F,13,2\n",
			[]string{"With the work on the line, and left as what falls short by the same here already: The tension string 2 strings of 13 × P70 has 3835 mm of creepage"}, nil,
		},
		"fittings in a stated length of a suspension string that gives way to tension": { // by 240 mm it is more than 10 × 146 mm
			"default_class: b, deviation_limit_deg: 3", "Unit,Stocked\nU120B,yes\n", "Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Lightning level (kV),Longest string (mm)\nA,1,ABC,132,145,650,1600\n",
			"Line,Structure,Phase,Duty,Unit,Units per string,Length (mm)\nA,1,ABC,tension,U120B,10,\nA,2,ABC,suspension,U120B,10,1700\nA,3,ABC,suspension,U120B,10,\nA,4,ABC,tension,U120B,10,\n",
			[]string{"not known what serves", "10 × U120B is 1460 mm without fittings", "what fittings add in another duty is not known"}, []string{"to fit"},
		},
		"the same, where as much as they are has room": {
			"default_class: b, deviation_limit_deg: 3", "Unit,Stocked\nU120B,yes\n", "Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Lightning level (kV),Longest string (mm)\nA,1,ABC,132,145,650,1700\n",
			"Line,Structure,Phase,Duty,Unit,Units per string,Length (mm)\nA,1,ABC,tension,U120B,10,\nA,2,ABC,suspension,U120B,10,1700\nA,3,ABC,suspension,U120B,10,\nA,4,ABC,tension,U120B,10,\n",
			[]string{"10 × U120B (another duty)"}, nil,
		},
		"a single pin beside a crossing that asks for double strings": {
			"default_class: b, crossing_rules: {road: double}", pins, of33, onPins + "A,2,ABC,pin,PIN33,,0\n", []string{"not known what serves", "Two pins side by side would answer that", "no input tells whether the structure has room for them"}, nil,
		},
		"a rating that one row states and another has that cannot be read, of the same discs in tension": {
			"default_class: c, deviation_limit_deg: 3, insulator_factor: {basis: own, tension: 2, suspension: 2}, load_cases: [{name: wind, wind_Pa: 300, tension: maximum}]", "Unit,Stocked\nU120B,yes\n", "Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Lightning level (kV),Conductor,Maximum tension (kN)\nA,1,ABC,132,145,650,Panther,25\n",
			"Line,Structure,Phase,Duty,Unit,Units per string,Rating (kN)\nA,1,ABC,tension,U120B,10,\nA,4,ABC,tension,U120B,10,\nA,3,ABC,suspension,U120B,10,\nA,2,ABC,suspension,U120B,10,100\nA,2,ABC,suspension,U120B,10,?\n",
			[]string{"(another duty)", "open: strength, not assessed"}, nil,
		},
		"a rating that cannot be read, of discs that are too weak by their type": { // 25 kN at a factor of 4
			"default_class: c, deviation_limit_deg: 3, insulator_factor: {basis: own, tension: 4, suspension: 2, one_string_broken: 1.5}, load_cases: [{name: wind, wind_Pa: 300, tension: maximum}]", "Unit,Stocked\nU70BL,yes\nU120BP,yes\n", "Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Lightning level (kV),Conductor,Maximum tension (kN)\nA,1,ABC,132,145,650,Lynx,25\n",
			"Line,Structure,Phase,Duty,Unit,Units per string,Rating (kN)\nA,1,ABC,tension,U120BP,11,\nA,4,ABC,tension,U120BP,11,\nA,3,ABC,suspension,U70BL,10,\nA,2,ABC,suspension,U70BL,9,?\n",
			[]string{"11 × U120BP (another duty)"}, []string{"U70BL (another duty); there now", "open: strength"},
		},
		"the same, where they get more units": { // of which the new ones are as weak
			"default_class: c, insulator_factor: {basis: own, tension: 4, suspension: 2}, load_cases: [{name: wind, wind_Pa: 300, tension: maximum}]", "Unit,Stocked\nU70BL,yes\nU120BP,yes\n", "Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Lightning level (kV),Conductor,Maximum tension (kN)\nA,1,ABC,132,145,650,Lynx,25\n",
			"Line,Structure,Phase,Duty,Unit,Units per string,Rating (kN)\nA,1,ABC,tension,U120BP,11,\nA,4,ABC,tension,U120BP,11,\nA,3,ABC,suspension,U120BP,10,\nA,2,ABC,tension,U70BL,7,?\n",
			[]string{"U120BP (another unit)"}, []string{"(more units)", "open: strength"},
		},
		// What a check of strength cannot judge is no weaker by its type than what hangs there.
		"a post whose mounting cannot be read, and one that is weaker across its axis": {
			bends, weaker, of11, onPosts + "A,2,ABC,post,PA,,?\n", []string{"1 × PC (another unit)", "open: strength, not assessed"}, nil,
		},
		"a post without load cases, and one that bears less push": {
			"default_class: d", posts + "PB,post,porcelain,20,8,3,250,330,130,yes\n", of11, onPosts + "A,2,ABC,post,PA,,upright\n", []string{"1 × PC (another unit)"}, nil,
		},
		"a post without load cases, and one that bears less pull": {
			"default_class: d", posts + "PB,post,porcelain,5,8,20,250,330,130,yes\n", of11, onPosts + "A,2,ABC,post,PA,,horizontal\n", []string{"1 × PC (another unit)"}, nil,
		},
		"a post without load cases, and one of which the push that it bears is not stated": {
			"default_class: d", strings.Replace(posts, "12.5,20,", "12.5,,", 1), of11, onPosts + "A,2,ABC,post,PA,,upright\n",
			[]string{"not known what serves: the compression rating of 1 × PC is not known, what hangs there or on the line has 20 kN"}, nil,
		},
		"a post whose rating cannot be read in its row": {
			"default_class: d", posts + "PB,post,porcelain,5,8,20,250,330,130,yes\n", of11, "Line,Structure,Phase,Duty,Unit,Units per string,Rating (kN)\nA,1,ABC,tension,U70BL,2,\nA,3,ABC,post,PC,,\nA,4,ABC,tension,U70BL,2,\nA,2,ABC,post,PA,,?\n", []string{"1 × PC (another unit)"}, nil,
		},
		"a post that is judged, and one that is weaker and strong enough": {
			strings.Replace(bends, "cantilever: 10", "cantilever: 2", 1), weaker, of11, onPosts + "A,2,ABC,post,PA,,upright\n", []string{"1 × PB (another unit)"}, nil,
		},
		"posts whose push and pull nobody states": {
			"default_class: d", "Unit,Kind,Material,Cantilever (kN),Spacing (mm),Creepage (mm),Lightning withstand (kV),Stocked\nPA,post,porcelain,8,250,250,130,no\nPC,post,porcelain,12.5,250,420,130,yes\nU70BL,,,,,,,yes\n", of11, onPosts + "A,2,ABC,post,PA,,upright\n", []string{"1 × PC (another unit)"}, nil,
		},
		"an angle of a V set that cannot be read": {
			"default_class: d, insulator_factor: {basis: own, tension: 2, suspension: 8}, load_cases: [{name: wind, wind_Pa: 900, tension: maximum}]", "Unit,Stocked\nU120BP,yes\nU70BLP,yes\nU120B,no\n",
			"Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Lightning level (kV),Conductor,Maximum tension (kN)\nA,1,ABC,132,145,650,Lynx,27\n",
			"Line,Structure,Phase,Duty,Arrangement,V angle (deg),Unit,Units per string,Strings\nA,1,ABC,tension,,,U120B,14,1\nA,2,ABC,suspension,V,?,U120B,9,2\nA,3,ABC,suspension,,,U120B,13,1\nA,4,ABC,tension,,,U120B,14,1\n",
			[]string{"2 strings of 9 × U120BP, a V set (another unit)", "open: strength, not assessed", "open: slack-leg, not assessed"}, []string{"nothing tells how much rating"},
		},
		"an arrangement that cannot be read": {
			"default_class: d", "Unit,Stocked\nU120BP,yes\nU120B,no\n", of132,
			"Line,Structure,Phase,Duty,Arrangement,Unit,Units per string,Strings\nA,1,ABC,tension,,U120B,14,1\nA,2,ABC,suspension,?,U120B,9,2\nA,3,ABC,suspension,,U120B,13,1\nA,4,ABC,tension,,U120B,14,1\n",
			[]string{"nothing tells how much rating is needed"}, nil,
		},
		"pins of which a longer one has the creepage, and none withstands the lightning": {
			"default_class: e", pins + "PIN33L,pin,porcelain,11,1200,280,400,215,yes\n", strings.Replace(of33, ",170,", ",450,", 1), onPins + "A,2,ABC,pin,PIN33,,0\n", []string{"nothing serves: 1 × PIN33L withstands 215 kV of lightning impulse"}, []string{"1 × PIN33 has 720 mm of creepage"},
		},
		"clamps of two circuits": {
			"default_class: b, insulator_factor: {basis: own, tension: 2.5, suspension: 2.5, fitting: 2.5}, load_cases: [{name: high wind, wind_Pa: 500, tension: maximum}]", "", "Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Conductor,Maximum tension (kN),Clamp rating (kN)\nA,2,ABC,110,123,Lynx,31,60\n",
			"Line,Structure,Circuit,Phase,Duty,Unit,Units per string\nA,1,1,ABC,tension,U120B,9\nA,1,2,ABC,tension,U120B,9\nA,2,1,ABC,tension,U120B,9\nA,2,2,ABC,tension,U120B,9\nA,3,1,ABC,suspension,U120B,9\nA,3,2,ABC,suspension,U120B,9\nA,4,1,ABC,tension,U120B,9\nA,4,2,ABC,tension,U120B,9\n",
			[]string{"are needed on 3 assemblies of circuit 1", "are needed on 3 assemblies of circuit 2"}, nil,
		},
	} {
		t.Run(name, func(t *testing.T) {
			proposed := proposedFor(t, c.criteria, c.units, c.lines, c.rows, "2")
			for _, text := range c.want {
				require.Contains(t, proposed, text)
			}
			for _, text := range c.never {
				require.NotContains(t, proposed, text)
			}
		})
	}
}

// proposedFor is what explain proposes for a structure of a line of four, which turns at the second if the criteria state a limit for that, and crosses a road between
// the second and the third if they have rules for crossings.
func proposedFor(t *testing.T, criteria, units, lines, rows, structure string) string {
	t.Helper()
	dir := t.TempDir()
	project := "structures: {file: towers.csv}\nregister: {file: [Assemblies.csv, Lines.csv"
	files := map[string]string{"Assemblies.csv": rows, "Lines.csv": lines,
		"towers.csv": "Line,Structure,Sequence,Longitude,Latitude,Ground level (m)\nA,1,1,9.000,48,300\nA,2,2,9.004,48,300\nA,3,3,9.008,48,300\nA,4,4,9.012,48,300\n"}
	if units != "" {
		files["Units.csv"], project = units, project+", Units.csv"
	}
	project += "]}\n"
	if strings.Contains(criteria, "crossing_rules") {
		files["crossings.geojson"] = `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"kind":"road"},"geometry":{"type":"LineString","coordinates":[[9.006,47.99],[9.006,48.01]]}}]}`
		project += "crossings: {file: crossings.geojson}\n"
	}
	files["audit.yaml"] = project + "criteria: {" + criteria + "}\n"
	if strings.Contains(criteria, "deviation_limit_deg") { // the line turns
		files["towers.csv"] = strings.Replace(files["towers.csv"], "A,2,2,9.004,48,", "A,2,2,9.004,48.001,", 1)
	}
	for name, text := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, run(t.Context(), []string{"explain", filepath.Join(dir, "audit.yaml"), "A", structure}, &stdout, &stderr), stderr.String())
	_, proposed, found := strings.Cut(stdout.String(), "proposed work")
	require.True(t, found, stdout.String())
	return proposed
}

// A shortfall is mended by as much as it asks for where more, for an advisory that other work on the line brings, does not serve.
func TestAdvisoriesOfOtherWorkStopNoRemedy(t *testing.T) {
	proposed := proposedFor(t, "default_class: d, insulator_factor: {basis: own, tension: 2, suspension: 2, one_string_broken: 1.5}, load_cases: [{name: high wind, wind_Pa: 400, tension: maximum}], crossing_rules: {road: double}",
		"Unit,Kind,Material,Rating (kN),Spacing (mm),Creepage (mm),Weight (kg),Coupling,Arcing (mm),Stocked,Price\nU70,cap-and-pin,glass,70,146,320,3.5,16,,yes,10\nCR145,composite,silicone rubber,120,1500,4600,6,16,1280,yes,140\n",
		"Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Conductor,Maximum tension (kN),Everyday tension (kN)\nA,1,ABC,33,36,Wolf,14,4\n",
		"Line,Structure,Phase,Duty,Unit,Units per string,Strings\nA,1,ABC,tension,U70,2,1\nA,2,ABC,suspension,U70,2,1\nA,3,ABC,suspension,U70,2,1\nA,4,ABC,tension,U70,2,1\n", "1")
	require.Contains(t, proposed, "3 × U70 (more units)")
	require.Contains(t, proposed, "More, for what the other work on the line brings, does not serve together with it: ")
	require.Contains(t, proposed, "With the work on the line, and not to be helped here: The tension string 3 × U70 has 960 mm of creepage")
}

// What is common practice keeps no shortfall from being mended, nor from being mended for all that is known: tension strings may be shorter than the suspension strings of the line
// where no others are short enough, and that is told.
func TestCommonPracticeStopsNoRemedy(t *testing.T) {
	const lines = "Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Lightning level (kV),Longest string (mm)\n"
	proposed := proposedFor(t, "default_class: c", "Unit,Stocked\nU120BP,no\nU100BS,yes\n", lines+"A,1,ABC,132,145,550,1520\n",
		"Line,Structure,Phase,Duty,Unit,Units per string,Length (mm)\nA,1,ABC,tension,U120BP,9,1614\nA,2,ABC,suspension,U120BP,9,\nA,3,ABC,suspension,U120BP,9,\nA,4,ABC,tension,U120BP,9,\n", "1")
	require.Contains(t, proposed, "8 × U120BP (fewer units)")
	require.Contains(t, proposed, "open: tension-fewer-units, falls short with the work done")
	require.Contains(t, proposed, "The work brings this advisory: The tension string 8 × U120BP has 3520 mm of creepage, the line's suspension strings in the same class have 3960 mm")

	proposed = proposedFor(t, "default_class: c, crossing_rules: {road: tension}", "Unit,Stocked\nU120BP,yes\nU120B,no\n", lines+"A,1,ABC,33,36,170,638\n", // 2 discs and the 300 mm of fittings are 592 mm
		"Line,Structure,Phase,Duty,Unit,Units per string,Length (mm)\nA,1,ABC,tension,U120B,4,\nA,2,ABC,tension,U120B,4,\nA,3,ABC,suspension,U120B,3,738\nA,4,ABC,tension,U120B,4,\n", "3")
	require.Contains(t, proposed, "2 × U120BP (another duty)")

	proposed = proposedFor(t, "default_class: d", "Unit,Kind,Material,Rating (kN),Spacing (mm),Creepage (mm),Coupling,Stocked\nBIG,cap-and-pin,porcelain,120,170,700,16,yes\nU120B,,,,,,,yes\n", lines+"A,1,ABC,132,145,550,1300\n",
		"Line,Structure,Phase,Duty,Unit,Units per string\nA,1,ABC,tension,U120B,10\nA,2,ABC,suspension,U120B,13\nA,3,ABC,suspension,U120B,13\nA,4,ABC,tension,U120B,10\n", "1")
	require.Contains(t, proposed, "not known what serves: lightning-withstand of 7 × BIG cannot be judged")
	require.NotContains(t, proposed, "the line allows")
}
