package report

import (
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// What may be read as a value in another column or beside other cells stands behind a mark, all else as it stood.
func TestUnreadText(t *testing.T) {
	at := audit.Source{Table: 1, Row: 7}
	for _, c := range []struct {
		fault audit.Fault
		want  string
	}{
		{audit.Fault{Kind: audit.NotANumber, At: at, Value: "thirteen"}, "thirteen"},
		{audit.Fault{Kind: audit.NotANumber, At: at, Value: "12 or 13"}, "12 or 13"},
		{audit.Fault{Kind: audit.NotANumber, At: at, Value: "12?"}, "12?"},
		{audit.Fault{Kind: audit.NotANumber, At: at, Value: "1,500"}, "#N/A: 1,500"},
		{audit.Fault{Kind: audit.NotANumber, At: at, Value: "1,5 kN"}, "#N/A: 1,5 kN"},
		{audit.Fault{Kind: audit.NotANumber, At: at, Value: "1 500"}, "#N/A: 1 500"},
		{audit.Fault{Kind: audit.NotANumber, At: at, Value: "12/13"}, "#N/A: 12/13"},
		{audit.Fault{Kind: audit.NotANumber, At: at, Value: "#N/A: 1,500"}, "#N/A: 1,500"},
		{audit.Fault{Kind: audit.OutOfRange, At: at, Value: "500"}, "#N/A: 500"},
		{audit.Fault{Kind: audit.NotANumber, At: at, Value: "3 May 19", Weight: audit.ByTheWay}, "#N/A: 3 May 19"},
		{audit.Fault{Kind: audit.UnknownUnit, At: at, Value: "U70LB"}, "U70LB"},
		{audit.Fault{Kind: audit.UnknownWord, At: at, Value: "hung"}, "hung"},
		{audit.Fault{Kind: audit.MissingValue, At: at, Value: "?"}, "?"},
		{audit.Fault{Kind: audit.MissingValue, At: at}, ""},
		{audit.Fault{Kind: audit.Implausible, At: at, Value: "12"}, ""},
		{audit.Fault{Kind: audit.NotANumber, Value: "12"}, ""},
	} {
		require.Equal(t, c.want, unreadText(&c.fault), "%s %q", c.fault.Kind, c.fault.Value)
	}
}
