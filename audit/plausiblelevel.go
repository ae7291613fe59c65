package audit

import (
	"fmt"
	"math"
	"slices"
	"strconv"
)

// doubtTested makes one fault of the tested voltages of a line where each row that states one states the line's own level: it is then
// likely the level that was copied, and nothing that was tested.
func (n *Network) doubtTested(line *Line, rows []uint32) {
	p := n.Project
	var stated []*DirectValues // by any row, each once where rows that follow each other share it
	for _, r := range rows {
		if figures := p.figuresAt(p.Assemblies.saidOf(r).Direct); figures != nil && (len(stated) == 0 || stated[len(stated)-1] != figures) {
			stated = append(stated, figures)
		}
	}
	for _, v := range [...]struct {
		column string
		shape  Shape
		cell   Cell
		of     func(d *DirectValues) *float64
	}{
		{"Lightning withstand", Lightning, CellTested, func(d *DirectValues) *float64 { return &d.LightningKV }},
		{"Switching withstand", Switching, CellLimits, func(d *DirectValues) *float64 { return &d.SwitchingKV }},
		{"Wet withstand", Wet, CellTestedWet, func(d *DirectValues) *float64 { return &d.WetKV }},
		{"Wet switching withstand", Switching, CellLimits, func(d *DirectValues) *float64 { return &d.WetSwitchingKV }},
	} {
		if !slices.ContainsFunc(stated, func(d *DirectValues) bool { return !math.IsNaN(*v.of(d)) }) {
			continue
		}
		level := line.Level(v.shape)
		var first Source
		stating, open := 0, 0
		for _, r := range rows {
			row := p.Assemblies.saidOf(r)
			tested := math.NaN()
			if figures := p.figuresAt(row.Direct); figures != nil {
				tested = *v.of(figures)
			}
			if !row.mayCarryPhase() || math.IsNaN(tested) || row.Faulty.Has(CellDuty) {
				if row.mayCarryPhase() && (row.Faulty.Has(v.cell) || !math.IsNaN(tested)) {
					open++
				}
				continue
			}
			if math.IsNaN(level) || compare(tested, level) != 0 {
				stating = 0
				break
			}
			if at := p.Assemblies.ownOf(r).Source; stating == 0 || at.Before(first) {
				first = at
			}
			stating++
		}
		if stating == 0 || stating+open < fewestRows {
			continue
		}
		p.Faults.Add(Fault{Kind: Implausible, At: first, Column: v.column, Value: strconv.FormatFloat(level, 'g', -1, 64), Rows: stating,
			Expected: fmt.Sprintf("is the level of line %q itself, on this as on every row that states one; expected what its strings were tested to withstand, else a blank; nothing is judged by it", p.Symbols.Text(line.Symbol))})
		for _, r := range rows {
			if said := p.Assemblies.saidOf(r); said.Direct != 0 && said.mayCarryPhase() {
				row := p.Assemblies.At(int(r))
				figures := p.directOf(&row)
				if tested := v.of(&figures); !math.IsNaN(*tested) {
					*tested, row.Faulty = math.NaN(), row.Faulty.With(v.cell)
					p.restate(r, &row, figures)
				}
			}
		}
	}
}
