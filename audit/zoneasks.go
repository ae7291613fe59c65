package audit

import "math"

// ZoneAsks is what the zones of the project ask for on the lines of the network, in mm/kV: the least and the most, which differ where lines have
// rules of their own. NaN where one of the lines does not know it, and where none goes by a zone.
func (n *Network) ZoneAsks() (least, most []float64) {
	used := make([]bool, len(n.Project.Rules)+1) // by number of the rules that change zones, 0 for none
	used[0] = len(n.Lines) == 0
	for i := range n.Lines {
		used[n.Lines[i].zones] = true
	}
	least, most = make([]float64, len(n.Project.Zones)), make([]float64, len(n.Project.Zones))
	for i := range least {
		least[i], most[i] = math.Inf(1), math.Inf(-1)
	}
	for i := range n.Zones {
		zone := &n.Zones[i]
		if zone.of < 0 || !used[zone.rules] {
			continue
		}
		_, figure := n.figuresOf(zone)
		least[zone.of], most[zone.of] = math.Min(least[zone.of], figure), math.Max(most[zone.of], figure)
	}
	for i := range least {
		if least[i] > most[i] {
			least[i], most[i] = math.NaN(), math.NaN()
		}
	}
	return least, most
}
