package postgres

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A column that is called as one of the server's or of ours, as another, or longer than the server keeps, has a name of its own.
func TestColumnNames(t *testing.T) {
	long := strings.Repeat("ñ", 40)
	require.Equal(t, []string{"ctid 2", "tableoid 2", "run 2", "geom 2", "a", "a 2", strings.Repeat("ñ", 30) + " 2", strings.Repeat("ñ", 30) + " 3"},
		columnNames([]Column{{Name: "ctid"}, {Name: "tableoid"}, {Name: "run"}, {Name: "geom"}, {Name: "a"}, {Name: "a"}, {Name: long}, {Name: long}}))
}
