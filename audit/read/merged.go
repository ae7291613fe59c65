package read

import (
	"math"
	"slices"
	"strings"

	"dryarc/audit/read/xlsx"
)

// mergedCells knows what the first cells of merged areas hold while the rows of a sheet are gone through.
type mergedCells struct {
	byColumn map[int]*mergedColumn
}

// mergedColumn are the areas that start in one column, in the order of their rows.
type mergedColumn struct {
	areas []xlsx.Area
	text  string // of the first cell of areas[0], once it has been passed
}

func newMergedCells(areas []xlsx.Area) *mergedCells {
	m := &mergedCells{byColumn: map[int]*mergedColumn{}}
	slices.SortFunc(areas, func(a, b xlsx.Area) int { return int(a.First) - int(b.First) })
	for _, area := range areas {
		if area.Last == area.First {
			continue
		}
		if m.byColumn[area.Column] == nil {
			m.byColumn[area.Column] = &mergedColumn{}
		}
		m.byColumn[area.Column].areas = append(m.byColumn[area.Column].areas, area)
	}
	return m
}

// pass takes notice of a row.
func (m *mergedCells) pass(number uint32, cells []string) {
	for index, column := range m.byColumn {
		for len(column.areas) > 0 && column.areas[0].Last < number {
			column.areas, column.text = column.areas[1:], ""
		}
		if len(column.areas) > 0 && column.areas[0].First == number && index < len(cells) {
			column.text = strings.TrimSpace(cells[index])
		}
	}
}

// text is what the first cell of the area holds in which a cell below it lies; empty where there is none.
func (m *mergedCells) text(number uint32, index int) string {
	column := m.byColumn[index]
	if column == nil || len(column.areas) == 0 || number <= column.areas[0].First || number > column.areas[0].Last {
		return ""
	}
	return column.text
}

// isLarge tells whether finding the merged areas of a sheet costs more than a fraction of a second.
func (w *workbook) isLarge(sheet string) bool { return w.content.unpacked(sheet) > w.large }

// checkMerged finds merged areas that rows of a large sheet lie in which were read before anybody knew: those stand behind the rows,
// and finding them first takes a fifth more time. What is read is then read again.
func (s *sheetReader[R]) checkMerged() {
	late, areas := s.late, []xlsx.Area(nil)
	switch {
	case s.merged == nil:
		late, areas = math.MaxUint32, s.grid.from.merged()
	case late > 0:
		areas = s.book.content.merged(s.grid.ctx, s.found.actual)
	}
	for _, area := range areas {
		if area.First < late && area.Last > s.headings && s.reads(area.Column) {
			s.register.mergedLate = true
		}
	}
}

// reads tells whether anything is taken from a column.
func (s *sheetReader[R]) reads(index int) bool {
	return slices.Contains(s.shape.only, index) || slices.Contains(s.shape.carried, index) ||
		slices.ContainsFunc(s.shape.columns, func(p placed[R]) bool { return p.index == index })
}

// largeSheet is how many bytes of XML a sheet has from which its merged areas are looked for only when a required cell
// is blank, or its rows have been read.
const largeSheet = 32 << 20
