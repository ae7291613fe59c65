package report

import (
	"context"
	"encoding/json"
	"io"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// The data of the page as its scripts read it: see page/data.js, which undoes the differences.
type (
	pageJSON struct {
		Run        string         `json:"run"`
		Texts      []string       `json:"texts"`
		Classes    []classJSON    `json:"classes"`
		Checks     []checkJSON    `json:"checks"`
		All        bool           `json:"all"`
		Lines      lineJSON       `json:"lines"`
		Structures structureJSON  `json:"structures"`
		Exceptions exceptionsJSON `json:"exceptions"`
		Carried    []carriedJSON  `json:"carried"`
		Zones      []zoneJSON     `json:"zones"`
		Places     *placesJSON    `json:"places,omitempty"` // where the project names any
		Routes     *lineRouteJSON `json:"routes,omitempty"` // where the page does not hold every structure
		Jobs       []jobJSON      `json:"jobs"`             // the first to do
		JobsInAll  int            `json:"jobsInAll"`
		// Lines and structures whose names are not in their links, with what stands for them there: the line on the page and the structure, −1 for the line.
		Hashed map[string][2]int `json:"hashed,omitempty"`
	}
	carriedJSON struct {
		Name   string     `json:"name"`
		Values pageColumn `json:"values"` // text, by exception
	}
	classJSON struct {
		Letter string `json:"letter"`
		Name   string `json:"name"`
	}
	checkJSON struct {
		ID        string   `json:"id"`
		Title     string   `json:"title"`
		Remedy    string   `json:"remedy"`
		Otherwise []string `json:"otherwise,omitempty"` // remedies of some verdicts in place of it
	}
	lineJSON struct {
		Name     pageColumn `json:"name"`     // text
		Title    pageColumn `json:"title"`    // text
		KV       pageColumn `json:"kv"`       // tenths
		Count    pageColumn `json:"count"`    // structures on the page
		Of       pageColumn `json:"of"`       // structures of the line
		Length   pageColumn `json:"length"`   // m
		Assessed pageColumn `json:"assessed"` // 1 or 0
		Closed   pageColumn `json:"closed"`   // 1 or 0
		// Open exceptions of the whole line, whether the page holds them or not; absent on the page of scenarios.
		Shortfalls pageColumn `json:"shortfalls,omitempty"`
		Advisories pageColumn `json:"advisories,omitempty"`
		Notes      pageColumn `json:"notes,omitempty"`
	}
	structureJSON struct {
		Number    pageColumn `json:"number"`    // text
		Lon       pageColumn `json:"lon"`       // 1e-6 degrees, differences
		Lat       pageColumn `json:"lat"`       // 1e-6 degrees, differences
		Chainage  pageColumn `json:"chainage"`  // decimetres, differences
		Ground    pageColumn `json:"ground"`    // decimetres, differences
		Deviation pageColumn `json:"deviation"` // hundredths of a degree, positive right
		Limit     pageColumn `json:"limit"`     // hundredths of a degree, differences
		Role      pageColumn `json:"role"`      // text
		Requires  pageColumn `json:"requires"`  // audit.Duty
		Hangs     pageColumn `json:"hangs"`     // 1 without sides, 2 tension, 3 both, 0 nothing
		Class     pageColumn `json:"class"`     // basis.Class
		Zone      pageColumn `json:"zone"`      // in zones, −1 for none
		Required  pageColumn `json:"required"`  // mm
		Installed pageColumn `json:"installed"` // mm
		Missing   pageColumn `json:"missing"`   // units more that the worst string needs for its creepage
		Why       pageColumn `json:"why"`       // text: why there is no figure of creepage
		Assembly  pageColumn `json:"assembly"`  // text: what hangs there
		Crosses   pageColumn `json:"crosses"`   // text: what the span ahead crosses
		Ahead     pageColumn `json:"ahead"`     // 1 where a span leads on, else 0
		Work      pageColumn `json:"work"`      // text: what to hang, or what stops it
		Fit       pageColumn `json:"fit"`       // text: units to fit
		Remove    pageColumn `json:"remove"`    // text: units to remove
		Weighing  pageColumn `json:"weighing"`  // text: the score of the work and what makes it
		// Text: where the ground level is from and how well it is known, or why there is none; absent where the project has no rasters.
		Level pageColumn `json:"level,omitempty"`
	}
	exceptionsJSON struct {
		Severity  pageColumn `json:"severity"`
		Check     pageColumn `json:"check"`
		Line      pageColumn `json:"line"`               // on the page
		At        pageColumn `json:"at"`                 // structure on the page, −1 for the whole line
		To        pageColumn `json:"to"`                 // structure on the page, −1 for none
		Detail    pageColumn `json:"detail"`             // text: circuit, phases, sides, a line each
		Job       pageColumn `json:"job"`                // 1 where the work of its structure is for it, else 0, or 1 and which of the otherwise of its check it wants
		Sentence  pageColumn `json:"sentence"`           // text
		Installed pageColumn `json:"installed"`          // text
		Margin    pageColumn `json:"margin"`             // thousandths
		State     pageColumn `json:"state"`              // history.State
		FirstSeen pageColumn `json:"firstSeen"`          // text
		IDs       pageColumn `json:"ids"`                // text: of its exceptions, the worst first, with blanks between
		Decision  pageColumn `json:"decision,omitempty"` // text: what was decided and what that is worth; absent where nothing was
		Decided   pageColumn `json:"decided,omitempty"`  // text: until when, by whom and why; absent where nothing was
		Photos    pageColumn `json:"photos,omitempty"`   // text: addresses of photos that may be followed, a line each; absent where there is none
		Closed    pageColumn `json:"closed,omitempty"`   // 1 for accepted or planned in force, else 0; absent where nothing was decided
	}
	zoneJSON struct {
		Class    basis.Class  `json:"class"`
		Label    int64        `json:"label"`    // text
		Specific number       `json:"specific"` // mm/kV where the zone states it, else null
		Doubtful bool         `json:"doubtful"` // its class or its area is not readable
		Rings    []pageColumn `json:"rings"`    // 1e-6 degrees, differences of lon, lat, lon, lat …
	}
)

const (
	positionUnit = 1e-6
	decimetre    = 0.1
	hundredth    = 0.01
)

// writeData writes the JSON of the page. Its encoder writes <, >, &, U+2028 and U+2029 as escapes, so that no text can end the
// element it stands in.
func (h *htmlPage) writeData(ctx context.Context, w io.Writer) error {
	t := newTexts(h.limits.text)
	out := pageJSON{Run: h.result.Run.ID, All: h.chosen.all, Zones: []zoneJSON{}}
	for c := basis.ClassUnknown; c <= basis.ClassF; c++ {
		out.Classes = append(out.Classes, classJSON{classLetter(c), c.Name()})
	}
	for _, check := range h.result.Checks {
		out.Checks = append(out.Checks, checkJSON{check.ID, check.Title, check.Remedy, check.Otherwise})
	}
	h.addLines(&out.Lines, t)
	for _, l := range h.chosen.lines {
		out.Lines.Shortfalls.add(int64(h.open[l][audit.Shortfall]))
		out.Lines.Advisories.add(int64(h.open[l][audit.Advisory]))
		out.Lines.Notes.add(int64(h.open[l][audit.Note]))
	}
	out.Routes = h.routes.data()
	if err := h.addStructures(ctx, &out.Structures, t); err != nil {
		return err
	}
	h.addExceptions(&out.Exceptions, t)
	out.Hashed = h.hashedPlaces()
	out.Carried = h.carried(t)
	h.addJobs(&out, t)
	for i := range h.zones.zones {
		out.Zones = append(out.Zones, zoneOf(&h.zones.zones[i], t))
	}
	out.Places = h.named.data(h.result.Project, t)
	out.Texts = t.list
	return writeMembers(w, reflect.ValueOf(out))
}

// writeMembers writes a struct as encoding/json does, one member after the other.
func writeMembers(w io.Writer, of reflect.Value) error {
	before := "{"
	for i := range of.NumField() {
		member := of.Field(i)
		name, options, _ := strings.Cut(of.Type().Field(i).Tag.Get("json"), ",")
		if options == "omitempty" && (member.IsZero() || member.Kind() != reflect.Pointer && member.Len() == 0) {
			continue
		}
		if _, err := io.WriteString(w, before+strconv.Quote(name)+":"); err != nil {
			return err
		}
		before = ","
		if member.Kind() == reflect.Struct {
			if err := writeMembers(w, member); err != nil {
				return err
			}
			continue
		}
		value, err := json.Marshal(member.Interface())
		if err != nil {
			return err
		}
		if _, err := w.Write(value); err != nil {
			return err
		}
	}
	_, err := io.WriteString(w, "}")
	return err
}

func (h *htmlPage) addLines(out *lineJSON, t *texts) {
	r := h.result
	for k, l := range h.chosen.lines {
		line := &r.Network.Lines[l]
		out.Name.add(t.number(r.Project.Symbols.Text(line.Symbol)))
		out.Title.add(t.number(r.Project.Symbols.Text(line.Row.Name)))
		out.KV.addFigure(firstKnown(line.Row.NominalKV, line.HighestKV), 0.1)
		out.Count.add(int64(len(h.chosen.structures[k])))
		out.Of.add(int64(line.End - line.First))
		out.Length.addFigure(lengthKM(r, l), 0.001)
		out.Assessed.add(oneIf(r.Lines[l].Assessed))
		out.Closed.add(oneIf(line.Closed))
	}
}

func (h *htmlPage) addStructures(ctx context.Context, out *structureJSON, t *texts) error {
	judge, ground := newCreepageOf(h.result), groundColumns{htmlPage: h, out: out, texts: t, reference: math.NaN()}
	r := h.result
	out.grow(h.chosen.count)
	var s audit.Structure
	for k, l := range h.chosen.lines {
		if err := ctx.Err(); err != nil {
			return err
		}
		for _, i := range h.chosen.structures[k] {
			s = r.Network.Structure(l, i)
			ground.add(&s)
			out.Limit.addFigure(s.DeviationLimitDeg, hundredth)
			out.Crosses.add(t.number(joined(r.Network.Crossed(i))))
			hangs, assembly := hanging(r, i)
			out.Hangs.add(hangs)
			out.Assembly.add(t.number(assembly))
			c, unitsPerString := judge.worst(l, &s)
			out.Missing.add(c.missingUnits(unitsPerString))
			out.Required.addFigure(c.requiredMM, 1)
			out.Installed.addFigure(c.installedMM, 1)
			out.Why.add(t.number(c.reason.String()))
			h.addWork(out, i, t)
			if tellsLevels(r) {
				out.Level.add(t.number(levelOf(r, &s).inWords()))
			}
		}
	}
	ground.finish()
	out.Limit.toDifferences()
	return nil
}

// grow makes room in every column.
func (s *structureJSON) grow(n int) {
	for _, c := range [...]*pageColumn{&s.Number, &s.Lon, &s.Lat, &s.Chainage, &s.Ground, &s.Deviation, &s.Limit, &s.Role, &s.Requires, &s.Hangs, &s.Class, &s.Zone,
		&s.Required, &s.Installed, &s.Missing, &s.Why, &s.Assembly, &s.Crosses, &s.Ahead, &s.Work, &s.Fit, &s.Remove, &s.Weighing} {
		*c = slices.Grow(*c, n)
	}
}

// addWork adds the job of a structure, blank where it has none.
func (h *htmlPage) addWork(out *structureJSON, structure int, t *texts) {
	what, fit, remove, weighing := "", "", "", ""
	if w := h.work[structure]; w != nil {
		what = h.jobInWords(w)
		fit, remove, weighing = w.fitInWords(), w.removeInWords(), weighingInWords(&w.why)
	}
	out.Work.add(t.whole(what))
	out.Fit.add(t.number(fit))
	out.Remove.add(t.number(remove))
	out.Weighing.add(t.number(weighing))
}

// zoneOfSite is the zone that a structure stands in, where its class is in doubt the one that leaves it so.
func zoneOfSite(s *audit.Structure) int {
	if s.Doubt != audit.NoReason {
		return s.DoubtfulZone
	}
	return s.Zone
}

func (h *htmlPage) zoneIndex(zone int) int64 {
	if zone < 0 {
		return -1
	}
	return int64(h.zones.index[h.result.Network.ZoneOfProject(zone)])
}

// hanging tells what is registered at a structure: which sorts of duty, and in words.
func hanging(r *audit.Result, structure int) (sorts int64, words string) {
	for _, row := range r.Network.AssemblyRows(structure) {
		switch duty := r.Project.Assemblies.At(int(row)).Duty; {
		case duty == audit.Tension:
			sorts |= 2
		case duty.CarriesPhase():
			sorts |= 1
		}
	}
	return sorts, installedAt(r, &audit.Location{Structure: structure, Assembly: -1})
}

func (h *htmlPage) addExceptions(out *exceptionsJSON, t *texts) {
	shown := h.findingsShown()
	for i := range shown {
		e, rec := findingRecord(h.result, &shown[i])
		out.Severity.add(int64(e.Verdict.Severity))
		out.Check.add(int64(e.Check))
		out.Line.add(int64(h.chosen.lineAt[e.Line]))
		out.At.add(int64(h.chosen.at(e.Structure)))
		out.To.add(int64(h.chosen.at(e.To)))
		out.Detail.add(t.number(strings.Join(tagsOf(rec), "\n")))
		out.Job.add(h.remedyNumber(&shown[i]))
		out.Sentence.add(t.whole(rec.Reason))
		out.Installed.add(t.number(installedOf(h.result, e)))
		out.Margin.addFigure(shownMargin(e.Verdict.Margin), 0.001)
		state, firstSeen := stateOf(h.changes, &shown[i])
		out.State.add(int64(state))
		out.FirstSeen.add(t.number(firstSeen))
		out.IDs.add(t.number(strings.Join(idsOf(h.result, &shown[i]), " ")))
	}
	h.addDecisions(out, shown, t)
	if h.result.Project.Inspections == nil {
		return
	}
	for i := range shown {
		out.Photos.add(t.number(photosOf(h.result, &shown[i])))
	}
}

// idsOf are the ids of the exceptions of a finding, the worst first, as many as the page holds of a text.
func idsOf(r *audit.Result, f *audit.Finding) (ids []string) {
	for _, i := range f.Exceptions[:min(len(f.Exceptions), mostIDs)] {
		ids = append(ids, r.ExceptionIDs()[i])
	}
	return ids
}

// mostIDs keeps the ids of a finding within the length of a text.
const mostIDs = 16

func zoneOf(z *zoneShape, t *texts) zoneJSON {
	out := zoneOfPage(z.zone)
	out.Label = t.number(z.zone.Label)
	for _, ring := range z.rings {
		both := make(pageColumn, 0, 2*len(ring))
		var last [2]int64
		for _, p := range ring {
			for axis, degrees := range p {
				n := int64(math.Round(degrees / positionUnit))
				both.add(n - last[axis])
				last[axis] = n
			}
		}
		out.Rings = append(out.Rings, both)
	}
	return out
}

// zoneOfPage is a zone as the page draws it, without its label and borders.
func zoneOfPage(z *audit.Zone) zoneJSON {
	out := zoneJSON{Specific: number(math.NaN()), Doubtful: z.InDoubt(), Rings: []pageColumn{}}
	if !z.InDoubt() {
		out.Class = z.Class
	}
	if z.SpecificCreepage > 0 && !z.InDoubt() {
		out.Specific = number(math.Round(z.SpecificCreepage*100) / 100)
	}
	return out
}

func firstKnown(figures ...float64) float64 {
	for _, x := range figures {
		if !unknown(x) {
			return x
		}
	}
	return math.NaN()
}

func oneIf(is bool) int64 {
	if is {
		return 1
	}
	return 0
}
