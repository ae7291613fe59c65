package report

import (
	"bytes"
	"context"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// What cells say is marked by conditions, over all rows of data; what is decided, and what somebody has just typed as decided, is grey before all
// others, and no colour of a severity stands in the cells themselves.
func TestStatusesAreMarkedByConditions(t *testing.T) {
	r, a := decidedFixture(t, "exception,line,check,decision,until,by,reason,structure,decided,ended,was\n,N-1,short-string,accept,2026-04-20,K. Lee,spring\n")
	var b bytes.Buffer
	require.NoError(t, writeBook(context.Background(), &b, r, a, generous))
	book := openFile(t, saved(t, "exceptions.xlsx", b.Bytes()))
	rows := cells(t, book, exceptionsSheet)
	parts := xmlParts(t, b.Bytes())
	part := parts[partOf(t, exceptionsSheet)]
	require.Contains(t, part, `<conditionalFormatting`)
	formats, err := book.GetConditionalFormats(exceptionsSheet)
	require.NoError(t, err)
	said := map[string]string{}
	for cells, rules := range formats {
		for _, rule := range rules {
			said[rule.Value+rule.Criteria] = cells
		}
	}
	data := 1
	for _, row := range rows[1:] {
		if len(row) > 3 {
			data++
		}
	}
	require.Equal(t, fmt.Sprintf("A2:A%d", data), said[`"shortfall"equal to`], said)
	require.Equal(t, fmt.Sprintf("B2:B%d", data), said[`"worse"equal to`])
	whole := regexp.MustCompile(`^A2:[A-Z]+\d+$`)
	greyed := ""
	for rule, cells := range said {
		if strings.Contains(rule, `="accept"`) {
			require.Regexp(t, whole, cells)
			greyed = rule
		}
	}
	column := map[string]string{}
	for i, heading := range rows[0] {
		name, err := excelize.ColumnNumberToName(i + 1)
		require.NoError(t, err)
		column[heading] = name
	}
	require.Contains(t, greyed, "$"+column["Decision"]+`2="accept"`)
	require.Contains(t, greyed, "LEFT($"+column["What it is worth"]+`2,8)="in force"`)
	stops, marks := regexp.MustCompile(`<cfRule [^>]*priority="(\d+)" stopIfTrue="[^"]+"|<cfRule [^>]*stopIfTrue="[^"]+"[^>]* priority="(\d+)"`).FindStringSubmatch(part), regexp.MustCompile(`<cfRule [^>]*priority="(\d+)"[^>]*><formula>&#34;shortfall`).FindStringSubmatch(part)
	require.NotNil(t, stops, "one rule ends all others")
	require.NotNil(t, marks)
	require.Less(t, number64(t, stops[1]+stops[2]), number64(t, marks[1]), "it holds against the colours of severities")

	for i, row := range rows[1:data] {
		number, err := book.GetCellStyle(exceptionsSheet, fmt.Sprintf("A%d", i+2))
		require.NoError(t, err)
		style, err := book.GetStyle(number)
		require.NoError(t, err)
		require.Empty(t, style.Fill.Color, row[0])
	}
}
