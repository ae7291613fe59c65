package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/history"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/clip"
)

// briefMap is a map on paper, in millimetres: drawn without scripts.
type briefMap struct {
	Width, Height int
	Frame         string
	Told          string // in words
	Left          string // what it leaves out
	Zones         []briefZone
	Routes        []string
	Marks         []briefMark
	Places        string // dots of places
	Labels        []briefLabel
	Leaders       []string
	Bar           string // scale bar
	BarX, BarY    string
	BarText       string
}

type (
	briefZone struct {
		Class int
		D     string
	}
	briefMark struct {
		Mark       int
		X, Y, Size string
	}
	briefLabel struct{ Kind, X, Y, Text string }
)

// What keeps a map of any network readable on paper, in millimetres.
const (
	mapEdgeMM   = 6.0
	markSizeMM  = 3.4  // of few marks
	routeStepMM = 0.4  // no corner of a route or a border is nearer to the one before, where the map is not coarser
	mostNames   = 24   // lines that are named
	longestName = 28   // characters of a name on the map
	textHeight  = 1.25 // of a line of text over its size
	textDepth   = 0.29 // of what is below its foot
)

// sheetMap turns positions into places on paper: a plane that is true in the middle of the map.
type sheetMap struct {
	west, north, perLon, perLat float64 // degrees, millimetres a degree
	nearLon                     float64
	coarse                      float64 // how many times coarser than on the brief corners and marks are
	mostBytes                   int     // a map that gets longer is not wanted, and not drawn to its end
}

func (m *sheetMap) step() float64 { return routeStepMM * m.coarse }

func (m *sheetMap) at(p orb.Point) (x, y float64) {
	return (nearLongitude(p[0], m.nearLon) - m.west) * m.perLon, (m.north - p[1]) * m.perLat
}

// onPaper fits a box of positions into a map.
func onPaper(bound orb.Bound, widthMM, heightMM float64) sheetMap {
	cos := math.Max(math.Cos(bound.Center()[1]*math.Pi/180), 0.01)
	const least = 0.002 // degrees, so that a single structure has a map too
	wide, high := max((bound.Max[0]-bound.Min[0])*cos, least), max(bound.Max[1]-bound.Min[1], least)
	room, tall := widthMM-2*mapEdgeMM, heightMM-2*mapEdgeMM-4 // 4 for the scale bar
	perLat := min(room/wide, tall/high)
	m := sheetMap{coarse: 1, perLat: perLat, perLon: perLat * cos, nearLon: bound.Center()[0]}
	m.west, m.north = bound.Center()[0]-widthMM/2/m.perLon, bound.Center()[1]+(heightMM-4)/2/m.perLat
	return m
}

// briefMapBytes is about how long the map of the brief may get; that of a larger network is drawn coarser, and says so.
const briefMapBytes = 400_000

// briefMapOf draws the lines that were assessed, what is open on them, and the letters of jobs at their structures, as fine as fits in so many bytes.
func briefMapOf(r *audit.Result, d *history.Decided, jobs []int, widthMM, heightMM float64, bytes int) briefMap {
	const coarsest, element = 64, 25 // of a route on the page
	bound, known := mainBound(r)
	across := acrossOf(r)
	for coarse := 1.0; ; coarse *= 1.4 {
		most := bytes
		if coarse >= coarsest {
			most = math.MaxInt
		}
		m := coarseMapOf(r, d, jobs, bound, known, widthMM, heightMM, coarse, most, across)
		if coarse > 1 { // then there are as many lines as need no elements of their own
			m.Routes = []string{strings.Join(m.Routes, "")}
		}
		if m.bytes()+element*len(m.Routes) > most {
			continue
		}
		if coarse > 1 {
			m.Left += fmt.Sprintf(" Lines are drawn within %s mm.", millimetre(math.Ceil(10*routeStepMM*coarse)/10))
		}
		return m
	}
}

// coarseMapOf draws what lies around a box with fewer corners and marks. Where it is coarser than the brief, a stretch along which a line is drawn already is not drawn again.
// It stops where the map has more bytes than are wanted. What across (acrossOf) does not know of a zone, it is told.
func coarseMapOf(r *audit.Result, d *history.Decided, jobs []int, bound orb.Bound, known bool, widthMM, heightMM, coarse float64, mostBytes int, across []float64) briefMap {
	m := briefMap{Width: int(widthMM), Height: int(heightMM)}
	m.Frame = fmt.Sprintf("M.2 .2h%sv%sh-%sz", millimetre(float64(m.Width)-0.4), millimetre(float64(m.Height)-0.4), millimetre(float64(m.Width)-0.4))
	if !known {
		m.Told = "No position is known."
		return m
	}
	paper := onPaper(bound, float64(m.Width), float64(m.Height))
	paper.coarse, paper.mostBytes = coarse, mostBytes
	taken := placed{within: box2{0, 0, float64(m.Width), float64(m.Height)}}
	m.scaleBar(&paper, &taken)
	m.addZones(r, &paper, across)
	if m.bytes() > mostBytes {
		return m
	}
	middles, outside := m.addRoutes(r, &paper)
	if m.bytes() > mostBytes {
		return m
	}
	m.addMarks(r, d, &paper, &taken)
	lettersOutside := m.addLetters(r, jobs, &paper, &taken)
	unnamed := m.addNames(middles, &taken)
	m.addPlaces(r.Project, &paper, &taken)
	m.Left = offMapInWords(unnamed, outside, lettersOutside)
	m.Told = fmt.Sprintf("Map of the lines with %s where something is open", counted(len(m.Marks), "mark", "marks"))
	if len(jobs) > 0 {
		m.Told += ", and the letters of the first jobs"
	}
	m.Told += "."
	return m
}

// path draws a way through places, leaving out corners too near to the one before.
type path struct {
	step  float64 // millimetres
	b     strings.Builder
	x, y  float64
	begun bool

	spot [2]int // of a map coarser than the brief: where the line is
	open bool   // the pen stands there
}

func (p *path) to(x, y float64, last bool) {
	switch {
	case !p.begun:
		p.write("M", x, y)
	case last || p.isFar(x, y):
		p.write("L", x, y)
	}
}

// isFar tells whether a place is a step away or more. Most are so near or so far that no root need be drawn.
func (p *path) isFar(x, y float64) bool {
	dx, dy := math.Abs(x-p.x), math.Abs(y-p.y)
	switch {
	case dx >= p.step || dy >= p.step:
		return true
	case dx+dy < 0.999*p.step:
		return false
	}
	return math.Hypot(dx, dy) >= p.step
}

func (p *path) write(command string, x, y float64) {
	var text [48]byte
	b := append(appendMillimetre(append(text[:0], command...), x), ' ')
	p.b.Write(appendMillimetre(b, y))
	p.x, p.y, p.begun = x, y, true
}

// drawnOnce is what some line has drawn already of a map coarser than the brief: what stands for each spot of the paper, and stretches between spots.
type drawnOnce struct {
	at        map[[2]int][2]float64
	stretches map[[2][2]int]bool
}

// to leads a line to the spot that a place is in, and draws what no line drew before it. A line that stays in one spot is a dot there.
func (d *drawnOnce) to(p *path, x, y float64) {
	spot := [2]int{int(math.Round(x / p.step)), int(math.Round(y / p.step))}
	place, there := d.at[spot]
	if !there {
		place = [2]float64{math.Round(x*10) / 10, math.Round(y*10) / 10}
		d.at[spot] = place
	}
	from, begun := p.spot, p.begun
	p.spot, p.begun = spot, true
	switch {
	case !begun && !there:
		p.write("M", place[0], place[1])
		p.b.WriteString("h0")
		p.open = true
	case !begun || from == spot:
	case d.stretches[[2][2]int{from, spot}]:
		p.open = false
	default:
		d.stretches[[2][2]int{from, spot}], d.stretches[[2][2]int{spot, from}] = true, true
		if before := d.at[from]; !p.open {
			p.write("M", before[0], before[1])
		}
		p.write("L", place[0], place[1])
		p.open = true
	}
}

// millimetre is a place on paper, as the path of a drawing has it.
func millimetre(x float64) string { return string(appendMillimetre(nil, x)) }

func appendMillimetre(b []byte, x float64) []byte {
	return strconv.AppendFloat(b, math.Round(x*100)/100, 'f', -1, 64)
}

// acrossOf makes room for how far each zone reaches across maps of one size, in millimetres: the widest of its borders, each where it is narrower. NaN
// where that is not known. A zone that reaches no farther than a step is not drawn.
func acrossOf(r *audit.Result) []float64 {
	return slices.Repeat([]float64{math.NaN()}, len(r.Project.Zones))
}

func (m *briefMap) addZones(r *audit.Result, paper *sheetMap, across []float64) {
	bytes := 0
	var room orb.LineString
	for i := range r.Project.Zones {
		zone := &r.Project.Zones[i]
		class := zone.Class
		if zone.InDoubt() {
			class = basis.ClassUnknown
		}
		if across[i] < paper.step() {
			continue
		}
		var d strings.Builder
		widest := 0.0
		for ring := range ringsOf(zone.Polygons, paper.nearLon, &room) {
			border, narrower := m.clipped(ring, paper)
			d.WriteString(border)
			widest = max(widest, narrower)
		}
		across[i] = widest
		if d.Len() > 0 {
			m.Zones = append(m.Zones, briefZone{int(class), d.String()})
			if bytes += d.Len(); bytes > paper.mostBytes {
				return
			}
		}
	}
}

// clipped is a border within the map, empty where it is less than a step across, and how far that is where it is narrower, in millimetres. What leads
// outside goes along its edge, which is drawn over.
func (m *briefMap) clipped(ring orb.LineString, paper *sheetMap) (border string, narrower float64) {
	p := path{step: paper.step()}
	inside := box2{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for i, at := range ring { // which nobody reads after this
		x, y := paper.at(at)
		x, y = min(max(x, 0), float64(m.Width)), min(max(y, 0), float64(m.Height))
		inside = box2{min(inside.x0, x), min(inside.y0, y), max(inside.x1, x), max(inside.y1, y)}
		ring[i] = orb.Point{x, y}
	}
	if narrower = min(inside.x1-inside.x0, inside.y1-inside.y0); narrower < p.step {
		return "", narrower
	}
	for i, at := range ring {
		p.to(at[0], at[1], i == len(ring)-1)
	}
	return p.b.String() + "Z", narrower
}

// addRoutes draws the lines as far as they are on the map and returns the middle of each, in the order of the lines, for its name, and what lies outside.
func (m *briefMap) addRoutes(r *audit.Result, paper *sheetMap) (middles []namedPlace, outside offMap) {
	drawn := drawnOnce{map[[2]int][2]float64{}, map[[2][2]int]bool{}}
	for l := range r.Network.Lines {
		line := &r.Network.Lines[l]
		if !r.Lines[l].Assessed {
			continue
		}
		course := make(orb.LineString, 0, line.End-line.First)
		off := 0
		for i := line.First; i < line.End; i++ {
			at := r.Network.Position(i)
			if unknown(at[0]) || unknown(at[1]) {
				continue
			}
			x, y := paper.at(at)
			course = append(course, orb.Point{x, y})
			if !m.holds(x, y) {
				off++
			}
		}
		outside.structures += off
		if off > 0 && off == len(course) {
			outside.lines++
		}
		p, longest := path{step: paper.step()}, orb.LineString(nil)
		for _, piece := range m.within(course, off) {
			p.begun, p.open = false, false
			for i, at := range piece {
				if paper.coarse == 1 {
					p.to(at[0], at[1], i == len(piece)-1)
				} else {
					drawn.to(&p, at[0], at[1])
				}
			}
			if len(piece) > len(longest) {
				longest = piece
			}
		}
		if p.b.Len() > 0 {
			m.Routes = append(m.Routes, p.b.String())
		}
		if len(longest) > 0 {
			middles = append(middles, namedPlace{r.Project.Symbols.Text(line.Symbol), longest[len(longest)/2], len(course)})
		}
	}
	return middles, outside
}

// within is what of a course is on the map, in pieces; off of its places are not.
func (m *briefMap) within(course orb.LineString, off int) orb.MultiLineString {
	switch {
	case off == 0:
		return orb.MultiLineString{course}
	case len(course) < 2:
		return nil
	}
	return clip.LineString(orb.Bound{Max: orb.Point{float64(m.Width), float64(m.Height)}}, course)
}

func (m *briefMap) holds(x, y float64) bool {
	return x >= 0 && y >= 0 && x <= float64(m.Width) && y <= float64(m.Height)
}

// addMarks draws the gravest of what is open, once for each spot of the paper, the gravest on top.
func (m *briefMap) addMarks(r *audit.Result, d *history.Decided, paper *sheetMap, taken *placed) {
	type spot struct{ x, y int }
	size := markSize(r, d)
	gravest := map[spot]audit.Severity{}
	for i := range r.Exceptions { // worst first
		e := &r.Exceptions[i]
		if e.Structure < 0 || !d.Open(i) {
			continue
		}
		at := r.Network.Position(e.Structure)
		if unknown(at[0]) || unknown(at[1]) {
			continue
		}
		x, y := paper.at(at)
		if !m.holds(x, y) {
			continue
		}
		apart := 0.7 * size * paper.coarse
		here := spot{int(math.Round(x / apart)), int(math.Round(y / apart))}
		if _, there := gravest[here]; there {
			continue
		}
		gravest[here] = e.Verdict.Severity
		m.Marks = append(m.Marks, briefMark{int(e.Verdict.Severity), millimetre(x - size/2), millimetre(y - size/2), millimetre(size)})
		taken.add(box2{x - size/2, y - size/2, x + size/2, y + size/2})
	}
	slices.Reverse(m.Marks)
}

// markSize is the size of the marks, in millimetres: the more there are the smaller.
func markSize(r *audit.Result, d *history.Decided) float64 {
	at := map[int]bool{}
	for i := range r.Exceptions {
		if s := r.Exceptions[i].Structure; s >= 0 && d.Open(i) {
			at[s] = true
		}
	}
	switch {
	case len(at) <= 60:
		return markSizeMM
	case len(at) <= 250:
		return 0.75 * markSizeMM
	}
	return 0.55 * markSizeMM
}

// jobLetter is what stands for one of the first jobs on the sheet: a letter, since ranks and the worst have numbers.
func jobLetter(n int) string { return string(rune('A' + n)) }

// addLetters writes the letters of jobs beside their structures, each where nothing else stands, with a leader where that is not beside it. It returns
// those of which the place is not on the map.
func (m *briefMap) addLetters(r *audit.Result, jobs []int, paper *sheetMap, taken *placed) (outside []string) {
	const size = 3.4
	const high = size * textHeight
	for n, structure := range jobs {
		at := r.Network.Position(structure)
		if unknown(at[0]) || unknown(at[1]) {
			continue
		}
		x, y := paper.at(at)
		text := jobLetter(n)
		if !m.holds(x, y) {
			outside = append(outside, text)
			continue
		}
		wide := 0.85 * size * float64(len(text))
		b, found := taken.near(x, y, wide, high)
		if !found {
			continue // the map is full; the job tells where it is
		}
		taken.add(b)
		cx, cy := (b.x0+b.x1)/2, (b.y0+b.y1)/2
		if away := math.Hypot(cx-x, cy-y); away > 5 {
			back := 1 - 2.2/away
			m.Leaders = append(m.Leaders, "M"+millimetre(x)+" "+millimetre(y)+"L"+millimetre(x+(cx-x)*back)+" "+millimetre(y+(cy-y)*back))
		}
		m.Labels = append(m.Labels, briefLabel{"letter", millimetre(cx), millimetre(b.y1 - textDepth*size), text})
	}
	return outside
}

// namedPlace is where the name of a line may stand.
type namedPlace struct {
	name       string
	at         [2]float64
	structures int
}

// addNames names the longest lines where there is room, and returns how many lines have no name.
func (m *briefMap) addNames(lines []namedPlace, taken *placed) (left int) {
	const size = 2.7
	const high = size * textHeight
	slices.SortStableFunc(lines, func(a, b namedPlace) int { return b.structures - a.structures })
	for n, l := range lines {
		name := cutText(l.name, briefText)
		wide := emsOf(name)*size + 0.6
		b, found := taken.near(l.at[0], l.at[1], wide, high)
		if n >= mostNames || len([]rune(name)) > longestName || !found || math.Hypot((b.x0+b.x1)/2-l.at[0], (b.y0+b.y1)/2-l.at[1]) > wide/2+12 {
			left++
			continue
		}
		taken.add(b)
		m.Labels = append(m.Labels, briefLabel{"line", millimetre((b.x0 + b.x1) / 2), millimetre(b.y1 - textDepth*size), name})
	}
	return left
}

// scaleBar draws a bar of a round length.
func (m *briefMap) scaleBar(paper *sheetMap, taken *placed) {
	const kmPerDegree = 111.2 // of latitude, near enough for a bar
	perKM := paper.perLat / kmPerDegree
	most := float64(m.Width) / 4 / perKM
	km := math.Pow(10, math.Floor(math.Log10(most)))
	for _, times := range []float64{5, 2} {
		if km*times <= most {
			km *= times
			break
		}
	}
	x, y := 3.0, float64(m.Height)-3
	m.Bar = fmt.Sprintf("M%s %sv1.2h%sv-1.2", millimetre(x), millimetre(y-1.2), millimetre(km*perKM))
	m.BarText = strconv.FormatFloat(km, 'f', -1, 64) + "\u202Fkm"
	if km < 1 {
		m.BarText = strconv.FormatFloat(km*1000, 'f', -1, 64) + "\u202Fm"
	}
	m.BarX, m.BarY = millimetre(x+km*perKM+1.5), millimetre(y)
	taken.add(box2{x - 1, y - 3.5, x + km*perKM + 1.5 + emsOf(m.BarText)*2.7, y + 1.5})
}

// box2 is a box on paper.
type box2 struct{ x0, y0, x1, y1 float64 }

func (b box2) meets(o box2) bool { return b.x0 < o.x1 && o.x0 < b.x1 && b.y0 < o.y1 && o.y0 < b.y1 }

// placed are the boxes of what is drawn already, by square of the paper.
type placed struct {
	within  box2
	squares map[[2]int][]box2
}

const squareMM = 8.0

func (p *placed) each(b box2, do func(key [2]int) bool) bool {
	for x := int(b.x0 / squareMM); x <= int(b.x1/squareMM); x++ {
		for y := int(b.y0 / squareMM); y <= int(b.y1/squareMM); y++ {
			if !do([2]int{x, y}) {
				return false
			}
		}
	}
	return true
}

func (p *placed) add(b box2) {
	if p.squares == nil {
		p.squares = map[[2]int][]box2{}
	}
	p.each(b, func(key [2]int) bool { p.squares[key] = append(p.squares[key], b); return true })
}

func (p *placed) free(b box2) bool {
	if b.x0 < p.within.x0+0.5 || b.y0 < p.within.y0+0.5 || b.x1 > p.within.x1-0.5 || b.y1 > p.within.y1-0.5 {
		return false
	}
	return p.each(b, func(key [2]int) bool {
		return !slices.ContainsFunc(p.squares[key], b.meets)
	})
}

// near finds room for a box as near to a place as there is.
func (p *placed) near(x, y, wide, high float64) (b box2, found bool) {
	const turns, farthest = 24, 60.0
	for away := markSizeMM/2 + high/2 + 0.4; away <= farthest; away += 0.8 {
		for k := range turns {
			sin, cos := math.Sincos(2 * math.Pi * (float64(k)/turns - 0.125))
			cx, cy := x+(away+wide/2-high/2)*cos, y+away*sin
			if b := (box2{cx - wide/2, cy - high/2, cx + wide/2, cy + high/2}); p.free(b) {
				return b, true
			}
		}
	}
	return b, false
}
