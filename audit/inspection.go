package audit

import (
	"math"
	"reflect"
	"strings"
	"time"
)

// Inspection is one row of an inspections table: what somebody, or something that flies, saw of the strings at a structure. NaN and -1
// mean not stated, NoDay a date not stated.
type Inspection struct {
	Source                                 Source
	Name, Method, Inspector, Photo, Remark TextAt
	Line, Circuit, Phase                   Symbol // as written; 0 where the cell is blank
	Number                                 TextAt // structure number as written
	Numeric                                bool   // Number stands as a number in its cell
	Phases                                 Phases // EveryPhase where the cell is blank
	Side                                   Side
	Date                                   Day
	Zone                                   int16 // of the clock that Date is by, in minutes east of UTC; NoZone where none is stated
	String                                 int16 // which of the strings side by side, from 1
	UnitsSeen, Broken, Flashed             int16
	Confidence                             float64 // 0 to 1, of the observation
	Lon, Lat                               float64 // degrees, WGS 84
	Unread                                 InspectionCells
}

// NoZone is a date that does not say by the clock of which zone it is.
const NoZone = math.MinInt16

// UnknownInspection returns an inspection in which nothing is stated.
func UnknownInspection() Inspection {
	nan := math.NaN()
	return Inspection{Phases: EveryPhase, Date: NoDay, Zone: NoZone, String: -1, UnitsSeen: -1, Broken: -1, Flashed: -1, Confidence: nan, Lon: nan, Lat: nan}
}

// InspectionCell is a cell of an inspection that a verdict may rest on.
type InspectionCell uint8

// The cells.
const (
	InspectedLine InspectionCell = iota
	InspectedStructure
	InspectedCircuit
	InspectedPhase
	InspectedSide
	InspectedString
	InspectedDate
	InspectedSeen
	InspectedBroken
	InspectedConfidence
	InspectedPlace // where it was seen
)

// InspectionCells is a set of cells of an inspection: those that hold what nobody can read.
type InspectionCells uint16

// Has tells whether the set holds a cell.
func (s InspectionCells) Has(c InspectionCell) bool { return s&(1<<c) != 0 }

// With returns the set with one more cell.
func (s InspectionCells) With(c InspectionCell) InspectionCells { return s | 1<<c }

// Inspections are what the project file names under inspections.
type Inspections struct {
	Rows []Inspection
	// WithinM is how far from its structure an observation may be taken for one of it, as a proposal, in metres.
	WithinM float64
}

// IsLink tells whether the photo of an inspection may be followed from a page or a workbook: a web address, or a path beside the outputs with
// either slash between its folders. Any other scheme is a text.
func IsLink(photo string) bool {
	photo = strings.TrimSpace(photo)
	if photo == "" || strings.ContainsFunc(photo, func(r rune) bool { return r < ' ' || r == 0x7f || strings.ContainsRune("\u2028\u2029", r) }) {
		return false
	}
	for _, scheme := range [...]string{"https://", "http://"} {
		if len(photo) > len(scheme) && strings.EqualFold(photo[:len(scheme)], scheme) {
			return !strings.Contains(photo, `\`)
		}
	}
	photo = strings.ReplaceAll(photo, `\`, "/")
	if strings.HasPrefix(photo, "/") {
		return false
	}
	before, _, _ := strings.Cut(photo, "/")
	return !strings.ContainsAny(before, ":") && (strings.Contains(photo, "/") || strings.Contains(photo, "."))
}

// Between are the first and the last day that a date may be; every day there is where none is stated.
func (d Day) Between() (first, last Day) {
	day := func(year int, month time.Month, day int) Day {
		return Day(time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Unix() / secondsADay)
	}
	switch {
	case d == NoDay:
		return math.MinInt32, math.MaxInt32
	case d >= firstUTC:
		return d - zeroUTC - 1, d - zeroUTC + 1
	case d >= firstYear:
		year := int(d - firstYear)
		return day(year, 1, 1), day(year, 12, 31)
	case d >= firstMonth:
		year, month := int(d-firstMonth)/12, time.Month(int(d-firstMonth)%12+1)
		return day(year, month, 1), day(year, month+1, 0)
	}
	return d, d
}

const secondsADay = 24 * 60 * 60

// DayOf is the day of a date written as 2019-05-31; NoDay where it is none.
func DayOf(date string) Day {
	moment, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return NoDay
	}
	return Day(moment.Unix() / secondsADay)
}

// Observation is what inspections tell of the defective units of a row of the register.
type Observation struct {
	Count      int16   // defective units in the worst string, −1 where that is not known
	Sure       int16   // the same without observations of too little confidence
	Registered int16   // what the register states, −1 where that is nothing, or cannot be read
	Deciding   int     // in Inspections.Rows: the one whose count holds; −1 where none does
	More       int     // others of too little confidence that Count is of too, if each is of another unit
	Of         []int32 // those that concern the row, in the order of the inputs
	// ByInspection tells whether of any string an inspection counts. Known are the strings of the row of which the defective units are
	// stated; Least and Most is how many these are, and Places the same phase by phase and side by side: what the register says may be of a
	// string that was inspected since.
	ByInspection       bool
	Known, Least, Most int
	Places             []Defects
	strings            []seenString
}

// equals tells whether two observations tell the same, each of which may be none.
func (o *Observation) equals(other *Observation) bool {
	return o == other || reflect.DeepEqual(o, other)
}

// InspectionState is what became of an inspection.
type InspectionState uint8

// The states.
const (
	InspectionNotJoined InspectionState = iota
	InspectionProposed                  // near a structure, which changes no verdict
	InspectionJoined
	InspectionSilent // joined; it says nothing of broken units
	InspectionBefore // of a string that hung there before
	InspectionLater  // after the day of the audit
	InspectionOpens  // joined; with it nobody can tell how many units are broken, somewhere
)

var inspectionStates = [...]string{"not joined", "proposed, not joined", "joined", "joined, says nothing of broken units", "joined, older than what hangs there", "joined, later than the day of the audit", "joined, leaves open how many units are broken"}

func (s InspectionState) String() string { return inspectionStates[s] }

// IsJoined tells whether the keys of an inspection lead to rows of the register.
func (s InspectionState) IsJoined() bool { return s >= InspectionJoined }

// JoinedInspection is what became of one row of Inspections.Rows.
type JoinedInspection struct {
	State     InspectionState
	Line      int    // of Structure
	Structure int    // on which it stands; −1 where that is not known
	Rows      int    // of the register that it concerns
	Decides   bool   // its count of broken units is the one that is judged by, somewhere
	Why       string // it is not joined, or which structures are near; empty where there is nothing to say
}
