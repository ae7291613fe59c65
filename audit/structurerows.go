package audit

import (
	"iter"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// StructureRows are the rows of the structures. Most say beside their place, their number and their level what many others say, so that is
// kept once for all of them and a row holds its number. Copies are the same rows. The zero value has none and is ready. Nothing may be done
// beside a change.
type StructureRows struct{ *keptStructures }

type keptStructures struct {
	own     []ownStructure
	said    []saidStructure
	numbers map[saidStructureKey]uint32 // of what was said lately
	changed map[int]*StructureRow       // rows that may be changed in place
}

// ownStructure is what tells a row from the others, with the number of what it says as others do.
type ownStructure struct {
	Lon, Lat, Sequence, GroundM float64
	Line                        Symbol
	Number                      TextAt
	row                         uint32 // of its Source
	said                        uint32
}

// saidStructure is what a row says as many others do.
type saidStructure struct {
	AttachmentM, DeviationLimitDeg float64
	ConductorAhead                 Symbol
	Room                           uint32
	Faulty                         Cells
	table                          uint16 // of its Source
	Terrain                        uint16
	NoGround                       Reason
	Duty                           Duty
	Role                           DeclaredRole
	Continues, LongSpan            bool
	SubconductorsAhead             uint8
	ByZero                         bool
}

// saidStructureKey tells what a row says from what others say, figures that are not stated too.
type saidStructureKey struct {
	saidStructure
	attachment, limit uint64
}

func (s saidStructure) key() saidStructureKey {
	key := saidStructureKey{s, math.Float64bits(s.AttachmentM), math.Float64bits(s.DeviationLimitDeg)}
	key.AttachmentM, key.DeviationLimitDeg = 0, 0
	return key
}

// Len is how many rows there are.
func (s StructureRows) Len() int {
	if s.keptStructures == nil {
		return 0
	}
	return len(s.own)
}

// At is a row.
func (s StructureRows) At(i int) StructureRow {
	if row := s.changed[i]; row != nil {
		return *row
	}
	own := &s.own[i]
	said := &s.said[own.said]
	return StructureRow{
		Lon: own.Lon, Lat: own.Lat, Sequence: own.Sequence, GroundM: own.GroundM, Line: own.Line, Number: own.Number,
		AttachmentM: said.AttachmentM, DeviationLimitDeg: said.DeviationLimitDeg, ConductorAhead: said.ConductorAhead, Room: said.Room,
		Source: Source{said.table, own.row}, Faulty: said.Faulty, Terrain: said.Terrain, NoGround: said.NoGround, Duty: said.Duty, Role: said.Role,
		Continues: said.Continues, LongSpan: said.LongSpan, SubconductorsAhead: said.SubconductorsAhead, ByZero: said.ByZero,
	}
}

// ownOf is what tells a row from the others, to be read only.
func (k *keptStructures) ownOf(i uint32) *ownStructure {
	if k.changed != nil {
		return k.changedOwn(i)
	}
	return &k.own[i]
}

func (k *keptStructures) changedOwn(i uint32) *ownStructure {
	if row := k.changed[int(i)]; row != nil {
		own, _ := row.parts()
		return &own
	}
	return &k.own[i]
}

// saidOf is what a row says as many others do, to be read only.
func (k *keptStructures) saidOf(i uint32) *saidStructure {
	if k.changed != nil {
		return k.changedSaid(i)
	}
	return &k.said[k.own[i].said]
}

func (k *keptStructures) changedSaid(i uint32) *saidStructure {
	if row := k.changed[int(i)]; row != nil {
		_, said := row.parts()
		return &said
	}
	return &k.said[k.own[i].said]
}

// place is where a structure stands: longitude, latitude.
func (s StructureRows) place(i uint32) orb.Point {
	own := s.ownOf(i)
	return orb.Point{own.Lon, own.Lat}
}

// begins is the line of a row, and whether the row before is of another or there is none.
func (s StructureRows) begins(i int) (line Symbol, first bool) {
	line = s.ownOf(uint32(i)).Line
	return line, i == 0 || line != s.ownOf(uint32(i-1)).Line
}

// All are the rows by their places.
func (s StructureRows) All() iter.Seq2[int, StructureRow] {
	return func(yield func(int, StructureRow) bool) {
		for i := range s.Len() {
			if !yield(i, s.At(i)) {
				return
			}
		}
	}
}

// Append adds a row behind the others.
func (s *StructureRows) Append(row StructureRow) {
	if s.keptStructures == nil {
		s.keptStructures = new(keptStructures)
	}
	own, said := row.parts()
	own.said = s.number(said)
	s.own = append(s.own, own)
}

// Set puts a row in place of another.
func (s StructureRows) Set(i int, row StructureRow) {
	if changed := s.changed[i]; changed != nil {
		*changed = row
		return
	}
	own, said := row.parts()
	if own.said = s.own[i].said; said.key() != s.said[own.said].key() {
		own.said = s.number(said)
	}
	s.own[i] = own
}

// Renumber puts other symbols and other places of numbers in place of those of the rows. It ends at the first error of number, and is not for
// rows of which some may be changed in place.
func (s StructureRows) Renumber(symbol func(Symbol) Symbol, number func(TextAt) (TextAt, error)) error {
	if s.keptStructures == nil {
		return nil
	}
	var was, is TextAt // of the row before, which may be of another line alone
	for i := range s.own {
		own := &s.own[i]
		if own.Number != was {
			at, err := number(own.Number)
			if err != nil {
				return err
			}
			was, is = own.Number, at
		}
		own.Line, own.Number = symbol(own.Line), is
	}
	for i := range s.said {
		s.said[i].ConductorAhead = symbol(s.said[i].ConductorAhead)
	}
	s.numbers = nil
	return nil
}

// Row is a row to be changed in place. It takes more room from then on, so it is for the few.
func (s StructureRows) Row(i int) *StructureRow {
	row := s.changed[i]
	if row == nil {
		at := s.At(i)
		row = &at
		if s.changed == nil {
			s.changed = map[int]*StructureRow{}
		}
		s.changed[i] = row
	}
	return row
}

// Grow makes room for so many more rows.
func (s *StructureRows) Grow(rows int) {
	if s.keptStructures == nil {
		s.keptStructures = new(keptStructures)
	}
	s.own = slices.Grow(s.own, rows)
}

// Trim gives back the room that rows were read into and do not take.
func (s StructureRows) Trim() {
	const little = 20 // a part in so many is not worth a copy (a choice of this program)
	if s.keptStructures == nil {
		return
	}
	if cap(s.own)-len(s.own) > len(s.own)/little {
		s.own = append(make([]ownStructure, 0, len(s.own)), s.own...)
	}
}

// are tells whether rows are the same, and not only alike.
func (s StructureRows) are(others StructureRows) bool {
	return s.keptStructures == others.keptStructures || s.Len()+others.Len() == 0
}

// parts are the two parts of a row as they are kept.
func (r *StructureRow) parts() (ownStructure, saidStructure) {
	return ownStructure{Lon: r.Lon, Lat: r.Lat, Sequence: r.Sequence, GroundM: r.GroundM, Line: r.Line, Number: r.Number, row: r.Source.Row},
		saidStructure{AttachmentM: r.AttachmentM, DeviationLimitDeg: r.DeviationLimitDeg, ConductorAhead: r.ConductorAhead, Room: r.Room, Faulty: r.Faulty,
			table: r.Source.Table, Terrain: r.Terrain, NoGround: r.NoGround, Duty: r.Duty, Role: r.Role, Continues: r.Continues, LongSpan: r.LongSpan,
			SubconductorsAhead: r.SubconductorsAhead, ByZero: r.ByZero}
}

// number is the number of what a row says, a new one where no row said it lately.
func (s *keptStructures) number(said saidStructure) uint32 {
	key := said.key()
	if n := len(s.own); n > 0 { // most say what the one before says
		if last := s.own[n-1].said; s.said[last].key() == key {
			return last
		}
	}
	at, known := s.numbers[key]
	if !known {
		at = uint32(len(s.said))
		s.said = append(s.said, said)
		if s.numbers == nil {
			s.numbers = map[saidStructureKey]uint32{}
		} else if len(s.numbers) == saidLately {
			clear(s.numbers)
		}
		s.numbers[key] = at
	}
	return at
}
