package main

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A row that says more units than are tried of any string costs no more than its own verdicts: what is missing beside it is sought with as many.
func TestMoreUnitsThanAreTried(t *testing.T) {
	t.Parallel()
	for _, units := range []string{"60", "61", "99"} {
		y := yearOfOneLine(t)
		y.write()
		y.put("Assemblies.csv", "Line,Structure,Circuit,Phase,Side,Duty,Unit,Units per string\nL0,4,,B,ahead,tension,U120B,"+units+"\n")
		y.asOf = "2026-03-01"
		said := y.auditBy("creepage", 1)
		require.Empty(t, said.Exceptions, units)
		y.audit(y.lines)
	}
}
