package read

import (
	"fmt"
	"strings"
)

// assumeCounts lists a heading of the numbers of units that does not say of what they are, and that the project file does not name.
func (s *sheetReader[R]) assumeCounts() {
	for i := range s.shape.columns {
		p := &s.shape.columns[i]
		if _, mapped := s.told.mapped[p.column.heading]; s.name != assembliesSheet || p.column.heading != "Units per string" || p.index < 0 || mapped || saysOfString(p.heading) {
			continue
		}
		s.register.project.CountsTaken = append(s.register.project.CountsTaken, fmt.Sprintf("The numbers under %q in %s are taken for the units of one string, since the heading does not say so; units counted over all strings or phases would be too many.",
			p.heading, s.register.project.Tables[s.found.table]))
	}
}

// saysOfString tells whether a heading says that its numbers are those of one string.
func saysOfString(heading string) bool {
	heading = strings.ToLower(heading)
	return strings.Contains(heading, "string") || strings.Contains(heading, "strang")
}
