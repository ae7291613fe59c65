package read

import (
	"context"
	"strings"
	"testing"

	jsontext "dryarc/audit/read/json"

	"github.com/stretchr/testify/require"
)

func TestPropertyOfAFeature(t *testing.T) {
	f := feature{members: jsontext.AppendMembers(nil, []byte(`{"a":1,"a":2}`))}
	require.Equal(t, "2", string(f.property("a")), "the last of two of one name counts, as for encoding/json")
	require.Nil(t, f.property("b"))
}

func TestPropertiesOfAFeatureInACollectionAndByItself(t *testing.T) {
	long := strings.Repeat(`"n":1,`, jsontext.MostMembers) + `"n":2`
	for name, members := range map[string]string{
		"once": `"properties":{"a":1,"b":{"c":[2]}}`, "none": `"bbox":[1,2,3,4]`, "empty": `"properties":{}`, "null": `"properties":null`,
		"twice": `"properties":{"a":1},"properties":{"b":2}`, "the last null": `"properties":{"a":1},"properties":null`,
		"the first null": `"properties":null,"properties":{"b":2}`, "one no object": `"properties":3,"properties":{"a":1}`,
		"escaped": `"propert\u0069es":{"a":1}`, "escaped the last": `"properties":{"b":2},"propert\u0069es":{"a":1}`,
		"escaped the first": `"propert\u0069es":{"a":1},"properties":{"b":2}`, "within another": `"properties":{"properties":{"a":1}}`,
		"too many": `"properties":{` + long + `}`, "too many at first": `"properties":{` + long + `},"properties":{"a":1}`,
	} {
		t.Run(name, func(t *testing.T) {
			text := `{"type":"Feature",` + members + `,"geometry":null}`
			read := func(text string) (f feature) {
				placing, err := newPlacing("x", "structures", "")
				require.NoError(t, err)
				in := &input{ctx: context.Background(), body: strings.NewReader(text)}
				_, err = readFeatures(in, placing, textEncoding{}, func(one *feature) error {
					f = *one
					return nil
				})
				require.NoError(t, err)
				return f
			}
			alone, among := read(text), read(`{"type":"FeatureCollection","features":[`+text+`]}`)
			require.Equal(t, alone.problem, among.problem)
			require.Len(t, among.members, len(alone.members))
			for i := range alone.members {
				require.Equal(t, alone.members[i], among.members[i])
			}
		})
	}
}
