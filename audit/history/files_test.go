package history

import (
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

func TestVanished(t *testing.T) {
	then := file{name: "./zones-1.geojson", sha256: "a", pattern: "./zones-*", section: "zones"}
	for name, c := range map[string]struct {
		now   audit.Input
		finds bool
		gone  bool
	}{
		"not there":                           {audit.Input{File: "zones-2.geojson", SHA256: "b", Pattern: "zones-*", Section: "zones"}, true, true},
		"left out, or of no pattern any more": {audit.Input{File: "zones-2.geojson", SHA256: "b", Pattern: "zones-*", Section: "zones"}, false, false},
		"there, and changed":                  {audit.Input{File: "./zones-1.geojson", SHA256: "b", Pattern: "./zones-*", Section: "zones"}, true, false},
		"its name is spelt otherwise":         {audit.Input{File: "Zones-1.geojson", SHA256: "b", Pattern: "zones-*", Section: "zones"}, true, false},
		"its content has another name":        {audit.Input{File: "zones-9.geojson", SHA256: "a", Pattern: "zones-*", Section: "zones"}, true, false},
		"its content is named by itself":      {audit.Input{File: "old.geojson", SHA256: "a"}, true, false},
		"its content is something else now":   {audit.Input{File: "crossings-1.geojson", SHA256: "a", Pattern: "crossings-*", Section: "crossings"}, true, true},
	} {
		t.Run(name, func(t *testing.T) {
			p := &audit.Project{Inputs: []audit.Input{c.now}, Patterns: []audit.FilePattern{
				{Section: "zones", Pattern: "zones-*", Finds: func(string) bool { return c.finds }}, {Section: "crossings", Pattern: "*", Finds: func(string) bool { return true }}}}
			require.Equal(t, c.gone, len((&Earlier{files: []file{then}}).Vanished(p)) == 1)
		})
	}
}
