package read

import (
	"testing"

	jsontext "dryarc/audit/read/json"

	"github.com/stretchr/testify/require"
)

func TestPropertyOfAFeature(t *testing.T) {
	f := feature{members: jsontext.AppendMembers(nil, []byte(`{"a":1,"a":2}`))}
	require.Equal(t, "2", string(f.property("a")), "the last of two of one name counts, as for encoding/json")
	require.Nil(t, f.property("b"))
}
