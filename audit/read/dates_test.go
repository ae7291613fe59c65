package read

import (
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// unknownForm is a column that tells nothing of how it writes dates.
func unknownForm() *dateForm { return &dateForm{slashes: anyOrder, dashes: anyOrder, dots: anyOrder} }

func TestReadDate(t *testing.T) {
	for text, want := range map[string]string{
		"1970-01-01": "1970-01-01", "1969-12-31": "1969-12-31", "2000/3/1": "2000-03-01", "2019-05-31T10:00:00Z": "2019-05-31",
		"2019-05-31 00:00:00": "2019-05-31", "31.05.2019 8:15": "2019-05-31", "5/31/2019 12:00:00 AM": "2019-05-31", "43616": "2019-05-31", "43616.75": "2019-05-31",
		"25569": "1970-01-01", "20190531": "2019-05-31", "2019.05.31": "2019-05-31",
		"12.03.1994": "1994-03-12", "12. 3. 1994": "1994-03-12", "12.03.1994.": "1994-03-12", "12.03.94": "1994-03-12", "1.2.29": "2029-02-01", "1.2.30": "1930-02-01",
		"17-11-2023": "2023-11-17", "17/11/2023": "2023-11-17", "11/17/2023": "2023-11-17", "17–11–2023": "2023-11-17", "04/04/1994": "1994-04-04", "14/06/94": "1994-06-14", "94/06/14": "1994-06-14",
		"29.02.2024": "2024-02-29",
		"Mar-94":     "1994-03", "March 1994": "1994-03", "1994 March": "1994-03", "Sept. 1994": "1994-09", "Mar '12": "2012-03", "Mar-00": "2000-03",
		"März 1994": "1994-03", "Dez 1994": "1994-12", "marzo de 1994": "1994-03", "août 1994": "1994-08", "fevereiro 1994": "1994-02", "maggio 1994": "1994-05",
		"maart 1994": "1994-03", "maj 1994": "1994-05", "1994-03": "1994-03", "1994/03": "1994-03", "03/1994": "1994-03", "3-1994": "1994-03", "03.1994": "1994-03", "1994.03": "1994-03",
		"12 March 1994": "1994-03-12", "12-Mar-94": "1994-03-12", "12MAR1994": "1994-03-12", "1994-Mar-12": "1994-03-12", "March 12, 1994": "1994-03-12", "12th of March 1994": "1994-03-12",
		"12. März 1994": "1994-03-12", "12 de octubre de 1994": "1994-10-12", "1er juin 1994": "1994-06-01", "12 Oct 1994 10:30": "1994-10-12",
		"1994": "1994", "2019.0": "2019", "1880": "1880",
	} {
		got, _, trouble := readDate(text, false, unknownForm())
		require.Nil(t, trouble, text)
		require.Equal(t, want, got.String(), text)
	}
}

func TestDatesThatAreRefused(t *testing.T) {
	for text, kind := range map[string]audit.FaultKind{
		"2019-13-01": audit.NotANumber, "2019-02-30": audit.NotANumber, "soon": audit.NotANumber, "31.02.2019": audit.NotANumber, "29.02.2023": audit.NotANumber,
		"5": audit.OutOfRange, "-40000": audit.OutOfRange, "1e12": audit.OutOfRange, "1066-10-14": audit.OutOfRange, "1850": audit.OutOfRange, "199413": audit.OutOfRange,
		"12-Mar": audit.NotANumber, "March": audit.NotANumber, "94": audit.OutOfRange, "1994.5": audit.NotANumber, "1994.3": audit.NotANumber, "13.1994": audit.NotANumber,
		"19941301": audit.NotANumber, "2019-05-31 to 2019-06-02": audit.NotANumber, "12/03": audit.NotANumber, "12 03 1994": audit.NotANumber, "12/03-1994": audit.NotANumber,
		"12.03.994": audit.NotANumber, "Q1 1994": audit.NotANumber, "12.03.1994 B": audit.NotANumber, "ca. 1994": audit.NotANumber, "1994?": audit.NotANumber, "1994-95": audit.NotANumber,
		"March April 1994": audit.NotANumber, "12 March 1994 5": audit.NotANumber, "12 March 4": audit.NotANumber, "Mars 2019er": audit.NotANumber,
	} {
		_, _, trouble := readDate(text, false, unknownForm())
		require.NotNil(t, trouble, text)
		require.Equal(t, kind, trouble.kind, text)
	}
	for _, text := range []string{"03/04/1994", "3-4-1994", "03/04/05", "14/06/03", "Mar-12", "Mar 12"} {
		_, _, trouble := readDate(text, false, unknownForm())
		require.Same(t, dateUnclear, trouble, text)
	}
}

// TestDatesByTheirColumn tells of each column how its first date is read, empty where it is not.
func TestDatesByTheirColumn(t *testing.T) {
	for name, c := range map[string]struct {
		column []string
		want   string
	}{
		"one that is day first decides":           {[]string{"03/04/1994", "01/02/1994", "14/06/2003"}, "1994-04-03"},
		"one that is month first decides":         {[]string{"03/04/1994", "06/14/2003"}, "1994-03-04"},
		"none decides":                            {[]string{"03/04/1994", "01/02/1994", "05/05/1994"}, ""},
		"they do not agree":                       {[]string{"03/04/1994", "14/06/2003", "06/14/2003"}, ""},
		"what is no date decides nothing":         {[]string{"03/04/1994", "14/14/2003", "31/02/2003"}, ""},
		"another sign does not decide":            {[]string{"03/04/1994", "17-11-2023", "17.11.2023"}, ""},
		"another sign does not agree":             {[]string{"03/04/1994", "14/06/2003", "11-17-2023"}, ""},
		"years first say nothing":                 {[]string{"03/04/1994", "1994/04/14"}, ""},
		"two digits, the year is last":            {[]string{"03/04/05", "14/06/94"}, "2005-04-03"},
		"two digits, which is the year":           {[]string{"03/04/05", "14/06/03"}, ""},
		"two digits, the year is first":           {[]string{"03/04/05", "94/06/14"}, "2003-04-05"},
		"years first forbid that they are last":   {[]string{"03/04/94", "13/04/94", "94/06/14"}, ""},
		"dots are day first":                      {[]string{"03.04.1994"}, "1994-04-03"},
		"dots that show months first":             {[]string{"03.04.1994", "06.14.2003"}, ""},
		"slashes do not change dots":              {[]string{"03.04.1994", "06/14/2003"}, "1994-04-03"},
		"a month and a year":                      {[]string{"Mar-12", "Mar-94"}, "2012-03"},
		"a month and a year of which none decide": {[]string{"Mar-12", "Jun-15", "March 1994"}, ""},
		"a date that needs no column":             {[]string{"14/06/2003", "06/14/2003"}, "2003-06-14"},
	} {
		form := unknownForm()
		for _, text := range c.column {
			form.note(text)
		}
		day, _, trouble := readDate(c.column[0], false, form)
		if c.want == "" {
			require.Same(t, dateUnclear, trouble, name)
			continue
		}
		require.Nil(t, trouble, name)
		require.Equal(t, c.want, day.String(), name)
	}
}

// TestMonthNamesMeanOneMonth holds that no name is in the lists of two months.
func TestMonthNamesMeanOneMonth(t *testing.T) {
	months := map[string]int{}
	for i, names := range monthNames() {
		for _, name := range strings.Fields(names) {
			require.Zero(t, months[name], name)
			months[name] = i + 1
			require.Equal(t, i+1, monthNamed(name), name)
		}
	}
	require.Zero(t, monthNamed("ma"))
	require.Zero(t, monthNamed("march april"))
}

// TestDatesOfAWorkbook tells that a date shown as a month or a year is that, though a workbook keeps a day, and that a year alone in
// a cell that shows days is refused.
func TestDatesOfAWorkbook(t *testing.T) {
	for name, c := range map[string]struct{ cell, format, want string }{
		"a day":            {"34405", "dd/mm/yyyy", "34405"},
		"a month":          {"34394", "mmm-yy", "1994-03"},
		"with its locale":  {"34394", "[$-409]mmm-yy;@", "1994-03"},
		"a year":           {"34394", "yyyy", "1994"},
		"no format":        {"1994", "General", "1994"},
		"a year as a year": {"1994", "0", "1994"},
		"a day and month":  {"34405", "d-mmm", "34405"},
	} {
		s := sheetReader[assembly]{register: &register{}, grid: &gridReader{from: oneFormat{shown: c.format}}}
		got, trouble := s.asPreciseAsShown(0, c.cell)
		require.Nil(t, trouble, name)
		require.Equal(t, c.want, got, name)
	}
	s := sheetReader[assembly]{register: &register{}, grid: &gridReader{from: oneFormat{shown: "dd/mm/yyyy"}}}
	_, trouble := s.asPreciseAsShown(0, "1994")
	require.NotNil(t, trouble)
}

// oneFormat is a sheet whose cells all have one format.
type oneFormat struct {
	rows
	shown string
}

func (f oneFormat) format(int) string { return f.shown }
