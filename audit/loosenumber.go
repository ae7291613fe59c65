package audit

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
)

// looseNumbers finds the structures that a row may mean whose cell has lost part of their number: a number has lost the zeros before
// and behind it, 1.10 being 1.1, and what a spreadsheet has made a day of which of its numbers came first.
type looseNumbers struct {
	n     *Network
	exact func(line int32, number string) (structure int32, found bool)
	lines map[int32]map[float64][]int32 // the structures whose numbers have zeros to lose, by line and value
	days  map[int32]map[[2]int][]dayNumber
	shown map[looseValue][]string // two ways at most in which the rows of such a line show a value
}

type looseValue struct {
	line  int32
	value float64
}

// find lists the structures of a line that a number or a day in a cell may mean; at is the one whose number is written so, if any. isOpen
// tells that it is not known which of them, or whether any, is meant. Where rows of the line show the value in several ways, each means what
// it shows.
func (l *looseNumbers) find(line int32, wanted string, at int32, isDay bool) (mayBe []int32, isOpen bool) {
	if isDay {
		return l.ofDay(line, wanted)
	}
	value, err := strconv.ParseFloat(wanted, 64)
	if err != nil {
		return nil, false
	}
	mayBe = l.valued(line)[value]
	if len(mayBe) == 0 {
		return nil, false
	}
	if plain, has := l.exact(line, strconv.FormatFloat(value, 'f', -1, 64)); has && !slices.Contains(mayBe, plain) {
		mayBe = append([]int32{plain}, mayBe...)
	}
	number := l.n.Number(int(mayBe[0]))
	if !slices.ContainsFunc(mayBe, func(other int32) bool { return l.n.Number(int(other)) != number }) {
		return mayBe[:1], false
	}
	if at >= 0 && l.showsSeveral(looseValue{line, value}) {
		return []int32{at}, false
	}
	return mayBe, len(mayBe) > 1
}

// dayNumber is a structure whose number a spreadsheet may have made a day of.
type dayNumber struct {
	at int32
	// isPlain tells that it is two numbers and no more. Of a third one, or a year, a day says nothing.
	isPlain bool
}

// ofDay lists the structures whose number may be that of which a spreadsheet has made a day, with whatever zeros before its parts and
// whichever of them came first.
func (l *looseNumbers) ofDay(line int32, wanted string) (mayBe []int32, isOpen bool) {
	day, month := dayAndMonth(wanted)
	for _, d := range l.dayNumbers(line)[[2]int{min(day, month), max(day, month)}] {
		if !slices.ContainsFunc(mayBe, func(other int32) bool { return l.n.Number(int(other)) == l.n.Number(int(d.at)) }) {
			mayBe, isOpen = append(mayBe, d.at), isOpen || !d.isPlain
		}
	}
	return mayBe, isOpen || len(mayBe) != 1
}

// dayNumbers are the structures of a line whose numbers may be made a day of, by two of their parts, the smaller first.
func (l *looseNumbers) dayNumbers(line int32) map[[2]int][]dayNumber {
	if numbers, known := l.days[line]; known {
		return numbers
	}
	numbers := map[[2]int][]dayNumber{}
	for i := l.n.Lines[line].First; i < l.n.Lines[line].End; i++ {
		parts, isPlain := partsOfDay(l.n.Number(i))
		for a := range parts {
			for _, b := range parts[a+1:] {
				key := [2]int{min(parts[a], b), max(parts[a], b)}
				numbers[key] = append(numbers[key], dayNumber{int32(i), isPlain})
			}
		}
	}
	if l.days == nil {
		l.days = map[int32]map[[2]int][]dayNumber{}
	}
	l.days[line] = numbers
	return numbers
}

// partsOfDay are the numbers of which a structure number is made, none where a spreadsheet makes no day of it. A year counts as its last
// two digits.
func partsOfDay(number string) (parts []int, isPlain bool) {
	if looksLikeDay(number) {
		day, month := dayAndMonth(number)
		return []int{day, month}, false
	}
	isPlain = true
	for part := range strings.FieldsFuncSeq(number, func(r rune) bool { return r == '/' || r == '-' || r == '.' }) {
		value, err := strconv.ParseUint(strings.TrimSpace(part), 10, 16)
		if err != nil || len(parts) == 3 {
			return nil, false
		}
		if value >= 1900 && value < 2100 {
			value, isPlain = value%100, false
		}
		parts = append(parts, int(value))
	}
	return parts, isPlain && len(parts) == 2
}

// dayAndMonth are the numbers of what looks like a day: 7 and 1 of 7-Jan.
func dayAndMonth(text string) (day, month int) {
	for part := range strings.SplitSeq(text, "-") {
		if moment, err := time.Parse("Jan", part); err == nil {
			month = int(moment.Month())
		} else {
			day, _ = strconv.Atoi(part)
		}
	}
	return day, month
}

// valued are the structures of a line whose numbers have zeros to lose, by their values.
func (l *looseNumbers) valued(line int32) map[float64][]int32 {
	values, known := l.lines[line]
	if known {
		return values
	}
	values = map[float64][]int32{}
	for i := l.n.Lines[line].First; i < l.n.Lines[line].End; i++ {
		number := l.n.Project.Texts.bytes(l.n.own(i).Number)
		if len(number) < 2 || number[0] != '0' && !slices.Contains(number, '.') {
			continue
		}
		if value, err := strconv.ParseFloat(string(number), 64); err == nil {
			values[value] = append(values[value], int32(i))
		}
	}
	l.lines[line] = values
	return values
}

// showsSeveral tells whether the rows of a line show a value in several ways.
func (l *looseNumbers) showsSeveral(at looseValue) bool {
	if l.shown == nil {
		l.shown = map[looseValue][]string{}
		p, lines := l.n.Project, l.n.lineOf()
		for i := range p.Assemblies.Len() {
			row := p.Assemblies.At(i)
			if !row.Numeric || lines[row.Line] < 0 || len(l.valued(lines[row.Line])) == 0 {
				continue
			}
			text := p.Texts.Get(row.Number)
			value, err := strconv.ParseFloat(text, 64)
			here := looseValue{lines[row.Line], value}
			if err == nil && len(l.shown[here]) < 2 && !slices.Contains(l.shown[here], text) {
				l.shown[here] = append(l.shown[here], text)
			}
		}
	}
	return len(l.shown[at]) > 1
}

// lose notes a row that may be of several structures of a line, or where none is given of any.
func (n *Network) lose(row *AssemblyRow, line int32, mayBe []int32) {
	p := n.Project
	number := p.Texts.Get(row.Number)
	var names []string
	for _, at := range mayBe {
		n.lost.at[at] = true
		names = append(names, strconv.Quote(n.Number(int(at))))
	}
	if len(mayBe) == 0 {
		n.lost.lines[row.Line]++
	} else {
		n.lost.doubted[row.Line]++
	}
	what := "stands as a number in its cell, which keeps no zeros behind a point or before it"
	if !row.Numeric {
		what = "is a day, which a spreadsheet may have made of a number"
	}
	may := fmt.Sprintf("it may be structure %s of line %q", strings.Join(slices.Compact(names), " or "), p.Symbols.Text(row.Line))
	if len(mayBe) == 0 {
		day, month := dayAndMonth(number)
		may = fmt.Sprintf("neither %d/%d nor %d/%d is a structure of line %q", day, month, month, day, p.Symbols.Text(row.Line))
		if day == month {
			may = fmt.Sprintf("%d/%d is no structure of line %q", day, month, p.Symbols.Text(row.Line))
		}
	}
	p.Faults.Add(Fault{Kind: NoSuchStructure, At: row.Source, Column: "Structure", Value: number,
		Expected: what + ": " + may + "; the row is left out; expected the number as a text"})
}
