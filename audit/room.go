package audit

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit/basis"
)

// Room is what a structure leaves a suspension string to swing in. What is not stated is NaN, or 0.
type Room struct {
	ArmLengthMM    float64 // from the body of the structure to the attachment of the string
	WallDistanceMM float64 // from the attachment, level, to where the body or a wall comes nearest beside the string
	WallLean       float64 // by how many metres the wall comes nearer for each metre down from there; below 0 it leans away; upright where not stated
	BracketMM      float64 // how far above the attachment the crossarm or bracket is, below 0 beneath it, and with it where the distance of a leaning wall is measured
	WallSide       WallSide
	ClearanceMM    float64 // of what is live from the structure, in the load cases that ClearancesMM does not name
	ClearancesMM   []CaseFigure
}

// CaseFigure is a figure of one load case.
type CaseFigure struct {
	Case  string // as criteria name it, see IsSameLoadCase
	Value float64
}

// UnknownRoom returns a room of which nothing is stated.
func UnknownRoom() Room {
	nan := math.NaN()
	return Room{ArmLengthMM: nan, WallDistanceMM: nan, WallLean: nan, BracketMM: nan, ClearanceMM: nan}
}

// bracketMM is how far above the attachment the crossarm or bracket is: level with it where that is not stated.
func (r *Room) bracketMM() float64 {
	if !math.IsNaN(r.BracketMM) {
		return r.BracketMM
	}
	return 0
}

// wall is the wall as far as its distance has no part in it: upright where no lean is stated.
func (r *Room) wall() basis.Wall {
	if !math.IsNaN(r.WallLean) {
		return basis.Wall{AboveM: r.bracketMM() / 1000, Lean: r.WallLean}
	}
	return basis.Wall{}
}

// armWallMM is how far the wall is at most, by the length of the arm, where its distance is measured: at the bracket level where it leans.
func (r *Room) armWallMM() float64 {
	if wall := r.wall(); isStated(r.ArmLengthMM) {
		return r.ArmLengthMM + 1000*wall.AboveM*wall.Lean
	}
	return math.NaN()
}

// wallContradictsArm tells whether the wall is farther away than the arm is long.
func (r *Room) wallContradictsArm() bool {
	return isStated(r.WallDistanceMM) && isStated(r.ArmLengthMM) && compare(r.WallDistanceMM, r.armWallMM()) > 0
}

// isStated tells whether a figure that is above 0 where it is stated is.
func isStated(figure float64) bool { return figure > 0 }

// inCase is the figure of a load case: its own, else that of the cases without one.
func inCase(name string, rest float64, named []CaseFigure) float64 {
	if i := slices.IndexFunc(named, func(f CaseFigure) bool { return IsSameLoadCase(f.Case, name) }); i >= 0 {
		return named[i].Value
	}
	return rest
}

// CasesInWords writes figures by load case as a cell of the register does: "600; still air: 1500". Empty where none is stated.
func CasesInWords(rest float64, named []CaseFigure) string {
	var parts []string
	if isStated(rest) {
		parts = append(parts, fmt.Sprintf("%.10g", rest))
	}
	for _, f := range named {
		parts = append(parts, fmt.Sprintf("%s: %.10g", f.Case, f.Value))
	}
	return strings.Join(parts, "; ")
}

// AsksClearance tells whether a clearance is stated for any load case.
func (r *Room) AsksClearance() bool { return isStated(r.ClearanceMM) || len(r.ClearancesMM) > 0 }

// clearanceIn is the clearance of a load case, NaN or 0 where none is stated.
func (r *Room) clearanceIn(c *LoadCase) float64 { return inCase(c.Name, r.ClearanceMM, r.ClearancesMM) }

// over is a room with what the line states of it where the structure does not. The clearance of a load case is the structure's for that case,
// else its figure for all others, else the line's for that case, else the line's for all others.
func (r Room) over(line Room) Room {
	if !isStated(r.ArmLengthMM) {
		r.ArmLengthMM = line.ArmLengthMM
	}
	if !isStated(r.WallDistanceMM) {
		r.WallDistanceMM = line.WallDistanceMM
	}
	if math.IsNaN(r.WallLean) {
		r.WallLean = line.WallLean
	}
	if math.IsNaN(r.BracketMM) {
		r.BracketMM = line.BracketMM
	}
	if r.WallSide == WallSideUnknown {
		r.WallSide = line.WallSide
	}
	if isStated(r.ClearanceMM) {
		return r
	}
	r.ClearanceMM = line.ClearanceMM
	own := r.ClearancesMM
	for _, f := range line.ClearancesMM {
		if !isStated(inCase(f.Case, math.NaN(), own)) {
			r.ClearancesMM = append(slices.Clip(r.ClearancesMM), f) // structures share theirs
		}
	}
	return r
}

// AddRoom keeps what structures state of their room once for all that state the same, and returns what their rows hold of it: rows that state
// the same hold the same.
func (p *Project) AddRoom(r Room) (at uint32) {
	key := r.key()
	if key == (roomKey{}) {
		return 0
	}
	if p.roomAt == nil || len(p.roomAt) != len(p.Rooms) {
		p.roomAt = make(map[roomKey]uint32, len(p.Rooms))
		for i := range p.Rooms {
			p.roomAt[p.Rooms[i].key()] = uint32(i + 1)
		}
	}
	if at, kept := p.roomAt[key]; kept {
		return at
	}
	p.Rooms = append(p.Rooms, r)
	at = uint32(len(p.Rooms))
	p.roomAt[key] = at
	return at
}

// roomKey is the same for rooms of which the same is stated.
type roomKey struct {
	armLengthMM, wallDistanceMM, wallLean, bracketMM, clearanceMM float64 // 0 where not stated
	wallSide                                                      WallSide
	clearancesMM                                                  string
}

func (r *Room) key() (key roomKey) {
	key.wallSide = r.WallSide
	for _, f := range [...]struct {
		to   *float64
		from float64
	}{{&key.armLengthMM, r.ArmLengthMM}, {&key.wallDistanceMM, r.WallDistanceMM}, {&key.wallLean, orUpright(r.WallLean)}, {&key.bracketMM, orUpright(r.BracketMM)}, {&key.clearanceMM, r.ClearanceMM}} {
		if !math.IsNaN(f.from) && f.from != 0 {
			*f.to = f.from
		}
	}
	for _, f := range r.ClearancesMM {
		key.clearancesMM += fmt.Sprintf("%q %v ", f.Case, f.Value)
	}
	return key
}

// orUpright tells 0 from what is not stated: a wall that a structure has upright, or a bracket level with the attachment, whatever its line states.
func orUpright(figure float64) float64 {
	if figure == 0 {
		return math.Inf(-1)
	}
	return figure
}

// roomOf is what a row of a structure states.
func (p *Project) roomOf(row *StructureRow) Room {
	if row.Room == 0 {
		return UnknownRoom()
	}
	return p.Rooms[row.Room-1]
}

// roomInWords says what a structure states of its room.
func (p *Project) roomInWords(at uint32) string {
	r := p.Rooms[at-1]
	var parts []string
	for _, f := range [...]struct{ what, figure string }{{"arm", CasesInWords(r.ArmLengthMM, nil)}, {"wall", CasesInWords(r.WallDistanceMM, nil)}, {"wall lean", CasesInWords(r.WallLean, nil)},
		{"bracket level", CasesInWords(r.BracketMM, nil)}, {"wall side", r.WallSide.String()}, {"clearance", CasesInWords(r.ClearanceMM, r.ClearancesMM)}} {
		if f.figure != "" {
			parts = append(parts, f.what+" "+f.figure)
		}
	}
	return strings.Join(parts, ", ")
}

// setRoom resolves what a structure leaves a string to swing in: its own figures, else the line's.
func (n *Network) setRoom(s *Structure, l *Line, row *StructureRow) {
	own := n.Project.roomOf(row)
	if l.supersedes(n.Project, row).Has(ClearanceSuperseded) {
		own.ClearanceMM, own.ClearancesMM = math.NaN(), nil
	}
	s.Room = own.over(l.Row.Room)
	s.RoomFaulty = n.isRoomFaulty(l, row, s.Index) || l.Row.Faulty.Has(CellLength)
	s.RoomSuperseded = s.RoomFaulty && !n.isRoomUnread(row, s.Index) && !l.Row.Faulty.Has(CellLength) && !l.Row.Faulty.Has(CellDeclared)
}

// isRoomUnread tells whether what the row of a structure states of its room cannot be read, contradicts itself or is doubted.
func (n *Network) isRoomUnread(row *StructureRow, structure int) bool {
	return row.Faulty.Has(CellLength) || n.structures[structure].is(roomDoubted)
}

// isRoomFaulty tells whether what the row of a structure states of its room is so, or superseded.
func (n *Network) isRoomFaulty(l *Line, row *StructureRow, structure int) bool {
	return n.isRoomUnread(row, structure) || l.supersedes(n.Project, row).Has(ClearanceSuperseded)
}
