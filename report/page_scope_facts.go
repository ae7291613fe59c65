package report

import (
	"fmt"
	"html/template"
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"
)

// scopeFacts are what the page of scenarios tells without scripts.
type scopeFacts struct {
	Title, AsOf, Run, Version, Caution, Units, Looked string
	Scenarios                                         []scenarioFact
	WithHeadroom                                      bool
	HeadroomNote, CurvesLeft                          string
	Curves                                            []curveFact
	Shares                                            []string
	Cuts                                              []string
}

type (
	// scenarioFact is a scenario with all that is told of it.
	scenarioFact struct {
		Name, Lines, ShortToday, ShortThen, OpenToday, OpenThen, Needing, Of, UnitsToFit, Sets, Price, Stopped, KM, NotKnown, NotKnownKM, AfterLook string
		Link                                                                                                                                        template.URL
		On                                                                                                                                          string
		Changes, Notes, Assumptions                                                                                                                 []string
		Sentences                                                                                                                                   []sentenceFact
		Rows                                                                                                                                        []changeFact
		Cuts                                                                                                                                        []string
		Choices                                                                                                                                     []choiceFact // of kinds of work
		LineChoices                                                                                                                                 []string
		Stops                                                                                                                                       []stopFact
		Material                                                                                                                                    []materialFact
		Checks                                                                                                                                      []checkBesideFact
		Alike                                                                                                                                       string
	}
	sentenceFact struct {
		Link       template.URL
		Line, Text string
	}
	changeFact struct {
		Link                                                                                       template.URL
		Line, Structure, KM, Hangs, ToHang, Fit, IfLook, Longer, Lower, Stop, NotKnown, Why, Kinds string
		Mark, LineAt                                                                               int   // LineAt is in LineChoices
		At                                                                                         int32 // on the page, −1 for not there
		State                                                                                      string
	}
	choiceFact struct{ Value, Name, Count string }
	stopFact   struct{ Line, Limit, Structures, KM, Percent, Which, Example string }

	materialFact struct{ Item, Name, Stocked, NotKnown, AfterLook, Fit, Remove, Reuse, Buy, Price string }

	checkBesideFact struct {
		Line, Title, ID, ShortToday, ShortThen, OpenToday, OpenThen, MeetsToday, MeetsThen, New, Mended, Why string
	}
)

// What of a scenario is listed at most beside its structures.
const (
	mostNotesListed    = 20
	mostStopsListed    = 200
	mostMaterialListed = 200
	mostChecksListed   = 200
)

// whole cuts a text that is to be read to its end only where it is far longer than any should be.
func (p *scopePage) whole(text string) string { return cutText(text, wholeTexts*p.limits.text) }

func (p *scopePage) facts() scopeFacts {
	r := p.result
	f := scopeFacts{Title: p.cut(r.Project.Title), AsOf: p.cut(r.Run.AsOf), Run: r.Run.ID, Version: p.cut(r.Run.Version), Caution: Caution, Units: scopeUnits + " " + p.whole(costsInWords(p.scope.Scenarios)),
		WithHeadroom: p.scope.WithHeadroom, HeadroomNote: headroomNote, Shares: []string{"All meet up to", "1 % short above", "10 % short above", "Half short above"}}
	if f.Title == "" {
		f.Title = "Lines without a title"
	}
	all := scopeOf(r)
	f.Looked = fmt.Sprintf("%s, %s", counted(all.lines, "line", "lines"), counted(all.structures, "structure", "structures"))
	for _, s := range p.scope.Scenarios {
		f.Scenarios = append(f.Scenarios, p.scenarioFact(s))
	}
	for i := range p.curves {
		f.Curves = append(f.Curves, p.curves[i].fact(i, p.cut))
	}
	if p.left > 0 {
		f.CurvesLeft = fmt.Sprintf("%s of %s are on this page, those of lines of scenarios first; the sheet %s of scope.xlsx and scope.json have all.",
			counted(len(p.curves), "curve", "curves"), grouped(len(p.curves)+p.left), headroomSheet)
	}
	f.Cuts = p.cuts()
	return f
}

// cuts says what the drawings leave out.
func (p *scopePage) cuts() (out []string) {
	if len(p.scope.Scenarios) == 0 {
		return nil
	}
	if !p.chosen.all {
		out = append(out, fmt.Sprintf("Map and strip hold %s of %s: of the lines of scenarios, those that are stopped, those that need work as far as there is room, and some of the others. Sentences and sums are of all; scope.geojson has every structure that needs something.",
			grouped(p.chosen.count), counted(p.result.Network.StructureCount(), "structure", "structures")))
	}
	if deg := p.zones.simplifiedDeg; deg > 0 {
		out = append(out, fmt.Sprintf("Borders of zones are drawn coarser than they were judged, by up to %s m.", grouped(int(math.Ceil(deg*longestDegreeM)))))
	}
	if told := p.named.cut(); told != "" {
		out = append(out, told)
	}
	if slices.ContainsFunc(p.scope.Scenarios, func(s *ScopeOf) bool { return rulesOfClasses(s.scenario) != nil }) {
		out = append(out, "Where a scenario changes classes the map draws zones as they are then on its lines; other lines stand in those of today.")
	}
	return out
}

func (p *scopePage) scenarioFact(s *ScopeOf) scenarioFact {
	f := scenarioFact{Name: p.cut(s.scenario.Name), Link: template.URL(linkOf(s.scenario.Name)), Lines: p.cut(enumerated(isolatedNames(s.lines), 5))}
	f.On = p.cut("On " + counted(len(s.lines), "line", "lines") + " (" + enumerated(isolatedNames(s.lines), 20) + ").")
	for _, text := range s.changesInWords() {
		f.Changes = append(f.Changes, p.cut(text))
	}
	f.cut(len(s.notes), mostNotesListed, "notes", scenariosSheet)
	for _, text := range s.notes[:min(len(s.notes), mostNotesListed)] {
		f.Notes = append(f.Notes, cutText(text, 4*p.limits.text))
	}
	for _, a := range s.assumptions {
		f.Assumptions = append(f.Assumptions, cutText(a.Text+touchedInWords(a.Lines), 4*p.limits.text))
	}
	p.addSums(&f, s)
	p.addSentences(&f, s)
	p.addRows(&f, s)
	p.addStops(&f, s)
	p.addMaterial(&f, s)
	p.addChecks(&f, s)
	return f
}

func touchedInWords(lines []string) string {
	if len(lines) == 0 {
		return ""
	}
	return " (" + enumerated(lines, 3) + ")"
}

// addSums adds what a scenario comes to on all of its lines, with today's figures beside it.
func (p *scopePage) addSums(f *scenarioFact, s *ScopeOf) {
	var needing, of, stopped, notKnown, shortToday, shortThen, openToday, openThen int
	var certain, afterLook takesSum
	km, notKnownKM := 0.0, 0.0
	for i := range s.perLine {
		l := &s.perLine[i]
		needing, of, stopped, km = needing+l.needing, of+l.structures, stopped+l.stopped, km+l.stoppedKM
		notKnown, notKnownKM = notKnown+l.notKnown, notKnownKM+l.notKnownKM
		certain.take(&l.certain)
		afterLook.take(&l.afterLook)
	}
	for c := range s.coverageBeside(p.result) {
		if !c.beside {
			shortToday, shortThen = shortToday+c.today.FallsShort, shortThen+c.then.FallsShort
			openToday, openThen = openToday+c.today.Lacking(), openThen+c.then.Lacking()
		}
	}
	f.ShortToday, f.ShortThen, f.OpenToday, f.OpenThen = grouped(shortToday), grouped(shortThen), grouped(openToday), grouped(openThen)
	f.Needing, f.Of, f.Stopped = grouped(needing), grouped(of), grouped(stopped)
	f.UnitsToFit, f.Sets = certain.span(certain.units, certain.fewer), grouped(certain.sets)
	if afterLook.units+afterLook.sets > 0 {
		f.AfterLook = afterLook.span(afterLook.units, afterLook.fewer)
	}
	if stopped > 0 {
		f.KM = strconv.FormatFloat(km, 'f', 1, 64)
	}
	if notKnown > 0 {
		f.NotKnown, f.NotKnownKM = grouped(notKnown), strconv.FormatFloat(notKnownKM, 'f', 1, 64)
	}
	f.Price = "not known"
	if !math.IsNaN(certain.price) {
		f.Price = certain.span(rounded(certain.price), rounded(certain.less))
	}
}

func (p *scopePage) lineName(line int) string {
	return p.result.Project.Symbols.Text(p.result.Network.Lines[line].Symbol)
}

func (p *scopePage) addSentences(f *scenarioFact, s *ScopeOf) {
	for i := range s.perLine[:min(len(s.perLine), p.limits.sentences)] {
		l := &s.perLine[i]
		f.Sentences = append(f.Sentences, sentenceFact{f.Link + "/" + template.URL(url.PathEscape(p.cut(l.line))), p.cut(l.line), p.whole(l.inWords(s))})
	}
	if n := len(s.perLine); n > p.limits.sentences {
		f.Cuts = append(f.Cuts, fmt.Sprintf("Sentences of the first %s of %s; the sheet %s of scope.xlsx and scope.json have all.", grouped(p.limits.sentences), counted(n, "line", "lines"), scenariosSheet))
	}
}

// addRows adds the structures that need something, along the lines.
func (p *scopePage) addRows(f *scenarioFact, s *ScopeOf) {
	kinds, limits, stopped, notKnown, before := [len(kindWords)]int{}, map[string]int{}, 0, 0, ""
	for i, c := range s.kept.each() {
		if i == p.limits.rows {
			break
		}
		state := stateOfPlace(c, false)
		row := changeFact{Link: f.Link + "/" + template.URL(url.PathEscape(p.cut(c.line))) + "/" + template.URL(url.PathEscape(p.cut(c.structure))), Line: p.cut(c.line), Structure: p.cut(c.structure),
			Mark: int(state), At: p.chosen.at(c.structureOf), State: placeStates[state], Hangs: p.whole(c.hangs), ToHang: p.whole(c.toHang), Fit: p.whole(c.fit),
			Longer: c.longerInWords(), Lower: lowerInWords(c), IfLook: p.whole(c.ifLook), Stop: p.cut(joined(limitsOf(c))), Why: p.whole(joinedLines(c.stoppedBy, c.open))}
		if !unknown(c.chainageM) {
			row.KM = strconv.FormatFloat(c.chainageM/1000, 'f', 2, 64)
		}
		values := []string{}
		for k := range kinds {
			if c.kinds&(1<<k) != 0 && c.toHang != "" {
				kinds[k]++
				values = append(values, fmt.Sprintf("k%d", k))
			}
		}
		if len(c.stops) > 0 {
			stopped++
			values = append(values, "stopped")
		}
		if c.isNotKnown() {
			notKnown++
			row.NotKnown = p.cut(limitInWords(joined(c.notKnown)))
			values = append(values, "not-known")
		}
		for _, limit := range limitsOf(c) {
			limits[limit]++
			values = append(values, "l-"+strings.ReplaceAll(limit, " ", "-"))
		}
		row.Kinds = strings.Join(values, " ")
		if i == 0 || c.line != before {
			f.LineChoices = append(f.LineChoices, row.Line)
		}
		before = c.line
		row.LineAt = len(f.LineChoices) - 1
		f.Rows = append(f.Rows, row)
	}
	f.Choices = choicesOf(kinds, limits, stopped, notKnown)
	if s.allChanges > len(f.Rows) {
		f.Cuts = append(f.Cuts, fmt.Sprintf("The table lists the first %s of %s that need something, along the lines; the sheet %s of scope.xlsx and scope.json have all.",
			grouped(len(f.Rows)), counted(s.allChanges, "structure", "structures"), changesSheet))
	}
}

// choicesOf are what the table of changes can be filtered by.
func choicesOf(kinds [len(kindWords)]int, limits map[string]int, stopped, notKnown int) (list []choiceFact) {
	for k, n := range kinds {
		if n > 0 {
			list = append(list, choiceFact{fmt.Sprintf("k%d", k), sentenceCase(kindWords[k]), grouped(n)})
		}
	}
	if stopped > 0 {
		list = append(list, choiceFact{"stopped", "No remedy serves", grouped(stopped)})
	}
	if notKnown > 0 {
		list = append(list, choiceFact{"not-known", "Not known what serves", grouped(notKnown)})
	}
	var names []string
	for limit := range limits {
		names = append(names, limit)
	}
	slices.Sort(names)
	for _, limit := range names {
		list = append(list, choiceFact{"l-" + strings.ReplaceAll(limit, " ", "-"), "Stopped by: " + limit, grouped(limits[limit])})
	}
	return list
}

// wholeMM is a length above 0 as text; empty for none and for an unknown one.
func wholeMM(mm float64) string {
	if !(math.Abs(mm) >= 0.5) {
		return ""
	}
	return grouped(int(math.Round(mm)))
}

// lowerInWords is by how much a conductor hangs lower, in mm; empty where none does.
func lowerInWords(c *scopeChange) string {
	switch text := wholeMM(c.lowerMM); {
	case c.lower && text != "":
		return text + ", elsewhere not known"
	case c.lower:
		return "not known"
	default:
		return text
	}
}

func (p *scopePage) addStops(f *scenarioFact, s *ScopeOf) {
	for i := range s.stops[:min(len(s.stops), mostStopsListed)] {
		x := &s.stops[i]
		row := stopFact{Line: p.cut(x.line), Limit: x.inWords(), Structures: grouped(len(x.structures)), Which: p.cut(enumerated(x.structures, 20)), Example: p.cut(x.example)}
		if !unknown(x.km) {
			row.KM = strconv.FormatFloat(x.km, 'f', 1, 64)
		}
		if !unknown(x.percent) {
			row.Percent = strconv.FormatFloat(x.percent, 'f', 1, 64)
		}
		f.Stops = append(f.Stops, row)
	}
	f.cut(len(s.stops), mostStopsListed, "limits", stopsSheet)
}

func (p *scopePage) addMaterial(f *scenarioFact, s *ScopeOf) {
	for i := range s.material[:min(len(s.material), mostMaterialListed)] {
		m := &s.material[i]
		row := materialFact{Item: m.item, Name: p.cut(m.name), Fit: groupedOrNone(m.fit), AfterLook: groupedOrNone(m.afterLook), NotKnown: p.cut(m.notKnown), Remove: groupedOrNone(m.remove), Reuse: groupedOrNone(m.reuse), Buy: groupedOrNone(m.fit - m.reuse)}
		row.Stocked, _ = m.inStock().(string)
		if m.fit > 0 && !unknown(m.price) {
			row.Price = grouped(int(math.Round(m.price)))
		}
		f.Material = append(f.Material, row)
	}
	f.cut(len(s.material), mostMaterialListed, "items of material", materialSheet)
}

// addChecks sets what each check says of a line in the scenario beside what it says today, where they differ; then what says the same, and could not
// judge all.
func (p *scopePage) addChecks(f *scenarioFact, s *ScopeOf) {
	alike := 0
	var unjudged []checkBesideFact
	for c := range s.coverageBeside(p.result) {
		switch same := c.newly+c.mended == 0 && countsOf(&c.today) == countsOf(&c.then); {
		case judgedNothing(&c.today) && judgedNothing(&c.then):
		case !same:
			f.Checks = append(f.Checks, p.checkFact(c))
		case c.then.Lacking() > 0:
			unjudged = append(unjudged, p.checkFact(c))
		default:
			alike++
		}
	}
	f.Checks = append(f.Checks, unjudged...)
	if alike > 0 {
		f.Alike = fmt.Sprintf("%s of lines say the same as today, and could judge all.", counted(alike, "check", "checks"))
	}
	all := len(f.Checks)
	f.Checks = f.Checks[:min(all, mostChecksListed)]
	f.cut(all, mostChecksListed, "checks of lines", sideBySideSheet)
}

func (p *scopePage) checkFact(c *scopeCoverage) checkBesideFact {
	check := p.result.Checks[c.check]
	return checkBesideFact{p.cut(p.lineName(c.line)), check.Title, check.ID, grouped(c.today.FallsShort), grouped(c.then.FallsShort), grouped(c.today.Lacking()), grouped(c.then.Lacking()),
		grouped(c.today.Meets), grouped(c.then.Meets), groupedOrNone(c.newly), groupedOrNone(c.mended), lackingInWords(&c.then, &c.today)}
}

// cut says of a list that it is cut, where it is.
func (f *scenarioFact) cut(all, most int, of, sheet string) {
	if all > most {
		f.Cuts = append(f.Cuts, fmt.Sprintf("The first %s of %s %s are listed; the sheet %s of scope.xlsx and scope.json have all.", grouped(most), grouped(all), of, sheet))
	}
}

func groupedOrNone(n int) string {
	if n == 0 {
		return ""
	}
	return grouped(n)
}
