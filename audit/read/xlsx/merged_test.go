package xlsx

import (
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"
)

// TestMergeReferences finds what stands behind the rows, wherever the text is cut and whatever the cells say of rows.
func TestMergeReferences(t *testing.T) {
	const areas = `<mergeCells count="2"><mergeCell ref="A2:A4"/><mergeCell ref="B2:B3"/></mergeCells>`
	cells := strings.Repeat(`<row><c t="inlineStr"><is><t>sheetData>, mergeCell ref="C1:C9"</t></is></c></row>`, 5000)
	for _, text := range []string{
		`<worksheet><sheetData>` + cells + `</sheetData>` + areas + `</worksheet>`,
		`<m:worksheet><m:sheetData>` + cells + `</m:sheetData>` + strings.ReplaceAll(areas, "<", "<m:") + `</m:worksheet>`,
	} {
		for name, part := range map[string]io.Reader{"whole": strings.NewReader(text), "half by half": iotest.HalfReader(strings.NewReader(text)),
			"byte by byte": iotest.OneByteReader(strings.NewReader(text))} {
			require.Equal(t, []string{"A2:A4", "B2:B3"}, mergeReferences(part), name)
		}
	}
	require.Empty(t, mergeReferences(strings.NewReader(`<worksheet><sheetData>`+cells)))
}
