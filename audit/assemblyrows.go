package audit

import (
	"iter"
	"math"
)

// AssemblyRows are the rows of the Assemblies sheet. There are more of them than of anything else, and most say of their assembly what many
// others say, so that is kept once for all of them and a row holds its number. Rows stand in pieces that copies share until one of them
// changes a row there. The zero value is ready. Nothing may be done beside a change of the same rows, and beside a Clone they may only be read.
type AssemblyRows struct {
	pieces  []rowPiece
	count   int
	said    []*saidPiece          // what rows say in common, by number
	saidEnd uint32                // the next number
	numbers map[saidKey]uint32    // of what was said lately
	last    [6]lastSaid           // what the last rows say that differ
	oldest  uint                  // of last
	room    [][rowsInPiece]ownRow // for pieces to come
}

// How rows are kept; choices of this program.
const (
	rowsInPiece = 32
	saidInPiece = 64
	piecesAhead = 256     // for which room is made at once, at most
	saidLately  = 1 << 14 // among how many the same is looked for, so that a register in which no row repeats another costs little more
)

// rowPiece are rows that follow each other, in one of two forms.
type rowPiece struct {
	kept *[rowsInPiece]ownRow
	open *[rowsInPiece]AssemblyRow // of pieces whose rows may be changed in place; never shared
	own  bool                      // no copy has what is kept
}

// ownRow is a row as it is kept.
type ownRow struct {
	RowOwn
	said uint32
}

type saidPiece [saidInPiece]RowSaid

// saidKey tells what a row says from what others say, an angle that is not stated from one that is.
type saidKey struct {
	RowSaid
	vAngle uint32
}

func saidKeyOf(said *RowSaid) saidKey {
	key := saidKey{*said, math.Float32bits(said.VAngleDeg)}
	key.VAngleDeg = 0
	return key
}

// Len is how many rows there are.
func (a *AssemblyRows) Len() int { return a.count }

// At is a row.
func (a *AssemblyRows) At(i int) AssemblyRow {
	piece := &a.pieces[uint(i)/rowsInPiece]
	if piece.open != nil {
		return piece.open[uint(i)%rowsInPiece]
	}
	row := &piece.kept[uint(i)%rowsInPiece]
	return AssemblyRow{row.RowOwn, *a.numbered(row.said)}
}

// saidOf is what a row says as many others do, to be read only.
func (a *AssemblyRows) saidOf(r uint32) *RowSaid {
	piece := &a.pieces[r/rowsInPiece]
	if piece.open != nil {
		return &piece.open[r%rowsInPiece].RowSaid
	}
	return a.numbered(piece.kept[r%rowsInPiece].said)
}

// ownOf is what tells a row from the others, to be read only.
func (a *AssemblyRows) ownOf(r uint32) *RowOwn {
	piece := &a.pieces[r/rowsInPiece]
	if piece.open != nil {
		return &piece.open[r%rowsInPiece].RowOwn
	}
	return &piece.kept[r%rowsInPiece].RowOwn
}

// All are the rows by their places.
func (a *AssemblyRows) All() iter.Seq2[int, AssemblyRow] {
	return func(yield func(int, AssemblyRow) bool) {
		for i := range a.count {
			if !yield(i, a.At(i)) {
				return
			}
		}
	}
}

// sharesRow tells whether a row stands in a piece that other rows, of which one is a copy of the other, share: it is the same then.
func (a *AssemblyRows) sharesRow(others *AssemblyRows, r uint32) bool {
	kept := a.pieces[r/rowsInPiece].kept
	return kept != nil && kept == others.pieces[r/rowsInPiece].kept
}

// isLike tells whether a row says the same in rows of which one are a copy of the other.
func (a *AssemblyRows) isLike(other *AssemblyRows, r uint32) bool {
	return a.sharesRow(other, r) || a.At(int(r)).Equals(other.At(int(r)))
}

// Set puts a row in place of another.
func (a *AssemblyRows) Set(i int, row AssemblyRow) {
	piece := &a.pieces[i/rowsInPiece]
	if piece.open != nil {
		piece.open[i%rowsInPiece] = row
		return
	}
	was := &piece.kept[i%rowsInPiece]
	is := ownRow{row.RowOwn, was.said}
	if saidKeyOf(&row.RowSaid) != saidKeyOf(a.numbered(was.said)) {
		is.said = a.number(&row.RowSaid)
	}
	if is == *was {
		return
	}
	if !piece.own {
		kept := *piece.kept
		piece.kept, piece.own = &kept, true
	}
	piece.kept[i%rowsInPiece] = is
}

// Row is a row to be changed in place. It and those kept with it take more room from then on, so it is for the few.
func (a *AssemblyRows) Row(i int) *AssemblyRow {
	piece := &a.pieces[i/rowsInPiece]
	if piece.open == nil {
		open := new([rowsInPiece]AssemblyRow)
		first := i - i%rowsInPiece
		for k := range min(rowsInPiece, a.count-first) {
			open[k] = a.At(first + k)
		}
		*piece = rowPiece{open: open}
	}
	return &piece.open[i%rowsInPiece]
}

// Append adds a row behind the others.
func (a *AssemblyRows) Append(row AssemblyRow) {
	at := a.count % rowsInPiece
	if at == 0 {
		a.pieces = append(a.pieces, rowPiece{kept: a.newPiece(), own: true})
	}
	a.count++
	switch piece := &a.pieces[len(a.pieces)-1]; {
	case piece.open != nil:
		piece.open[at] = row
	case piece.own:
		piece.kept[at] = ownRow{row.RowOwn, a.number(&row.RowSaid)}
	default:
		kept := *piece.kept
		kept[at] = ownRow{row.RowOwn, a.number(&row.RowSaid)}
		piece.kept, piece.own = &kept, true
	}
}

// newPiece takes a piece of the room, of which there is more the more rows there are.
func (a *AssemblyRows) newPiece() *[rowsInPiece]ownRow {
	if len(a.room) == 0 {
		a.room = make([][rowsInPiece]ownRow, 1+min(len(a.pieces)/8, piecesAhead))
	}
	piece := &a.room[0]
	a.room = a.room[1:]
	return piece
}

// Delete leaves rows out; those behind them move up.
func (a *AssemblyRows) Delete(unwanted func(i int) bool) {
	var kept AssemblyRows
	for i, row := range a.All() {
		if !unwanted(i) {
			kept.Append(row)
		}
	}
	*a = kept
}

// Clone is a copy, of which rows can be changed and to which more can be added.
func (a *AssemblyRows) Clone() AssemblyRows {
	c := AssemblyRows{pieces: make([]rowPiece, len(a.pieces)), count: a.count}
	for i := range a.pieces {
		piece := &a.pieces[i]
		if piece.open != nil {
			open := *piece.open
			c.pieces[i].open = &open
			continue
		}
		piece.own = false
		c.pieces[i] = *piece
	}
	a.saidEnd = uint32(len(a.said)) * saidInPiece // what either adds stands in pieces of its own
	c.said, c.saidEnd = append(c.said, a.said...), a.saidEnd
	return c
}

// numbered is what rows with a number say.
func (a *AssemblyRows) numbered(number uint32) *RowSaid {
	return &a.said[number/saidInPiece][number%saidInPiece]
}

// number is the number of what a row says, a new one where no row said it lately.
func (a *AssemblyRows) number(said *RowSaid) uint32 {
	key := saidKeyOf(said)
	for _, l := range a.last { // the rows of the structure before mostly say the same
		if l.known && l.key == key {
			return l.number
		}
	}
	at, known := a.numbers[key]
	if !known {
		at = a.say(said)
		if a.numbers == nil {
			a.numbers = map[saidKey]uint32{}
		} else if len(a.numbers) == saidLately {
			clear(a.numbers)
		}
		a.numbers[key] = at
	}
	a.last[a.oldest] = lastSaid{key, at, true}
	a.oldest = (a.oldest + 1) % uint(len(a.last))
	return at
}

// say keeps what a row says under a new number.
func (a *AssemblyRows) say(said *RowSaid) uint32 {
	at := a.saidEnd
	if int(at/saidInPiece) == len(a.said) {
		a.said = append(a.said, new(saidPiece))
	}
	a.said[at/saidInPiece][at%saidInPiece] = *said
	a.saidEnd++
	return at
}

// lastSaid is what one of the last rows says, with its number.
type lastSaid struct {
	key    saidKey
	number uint32
	known  bool
}

// alikeStrings is what was found of the strings of rows that were looked at last: most rows of a line repeat a few. The zero value is ready. No row
// may change meanwhile.
type alikeStrings[T any] struct {
	kept [8]alikeString[T]
	next int
}

// alikeString is all that rows say of their string, and what was found of it.
type alikeString[T any] struct {
	said      *RowSaid
	defective int16
	found     T
}

// of is what was found of the string of a row; where that is not known, it is for the caller to find.
func (s *alikeStrings[T]) of(rows *AssemblyRows, row uint32) (found *T, known bool) {
	said, defective := rows.saidOf(row), rows.ownOf(row).Defective
	for i := range s.kept {
		if k := &s.kept[i]; k.said == said && k.defective == defective {
			return &k.found, true
		}
	}
	k := &s.kept[s.next%len(s.kept)]
	s.next++
	k.said, k.defective = said, defective
	return &k.found, false
}
