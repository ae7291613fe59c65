package report

import (
	"archive/zip"
	"bytes"
	"io"
	"testing"

	"github.com/stretchr/testify/require"
)

// xmlParts are the parts of a workbook by name.
func xmlParts(t *testing.T, workbook []byte) map[string]string {
	t.Helper()
	archive, err := zip.NewReader(bytes.NewReader(workbook), int64(len(workbook)))
	require.NoError(t, err)
	parts := map[string]string{}
	for _, entry := range archive.File {
		r, err := entry.Open()
		require.NoError(t, err)
		content, err := io.ReadAll(r)
		require.NoError(t, err)
		parts[entry.Name] = string(content)
	}
	return parts
}

// The entries of a workbook are dated the first day that a zip file can state, so that programs find a date, and no clock.
func TestWorkbookKnowsNoClock(t *testing.T) {
	r := fixtureResult(t)
	workbook := contentOf(t, r, alone.by(writeWorkbook))
	archive, err := zip.NewReader(bytes.NewReader(workbook), int64(len(workbook)))
	require.NoError(t, err)
	for _, entry := range archive.File {
		year, month, day := entry.Modified.UTC().Date()
		require.Equal(t, []int{1980, 1, 1}, []int{year, int(month), day}, entry.Name)
	}
	for range 5 {
		require.True(t, bytes.Equal(workbook, contentOf(t, r, alone.by(writeWorkbook))), "two workbooks of one result differ")
	}
}

// withPart is a workbook of which one part is changed.
func withPart(t *testing.T, workbook []byte, name string, change func(string) string) []byte {
	t.Helper()
	archive, err := zip.NewReader(bytes.NewReader(workbook), int64(len(workbook)))
	require.NoError(t, err)
	parts := xmlParts(t, workbook)
	require.Contains(t, parts, name)
	var b bytes.Buffer
	out := zip.NewWriter(&b)
	for _, entry := range archive.File {
		content := parts[entry.Name]
		if entry.Name == name {
			content = change(content)
		}
		part, err := out.Create(entry.Name)
		require.NoError(t, err)
		_, err = io.WriteString(part, content)
		require.NoError(t, err)
	}
	require.NoError(t, out.Close())
	return b.Bytes()
}
