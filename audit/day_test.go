package audit

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func TestDayIsAsPreciseAsItWasStated(t *testing.T) {
	for want, day := range map[string]Day{
		"": NoDay, "1970-01-01": 0, "1969-12-31": -1, "2019-05-31": 18047, "1880-01-01": -32872, "2199-12-31": 84005,
		"1994-03": MonthOf(1994, time.March), "1994-12": MonthOf(1994, time.December), "2000-01": MonthOf(2000, time.January), "1994": YearOf(1994),
	} {
		require.Equal(t, want, day.String())
	}
}

// A time of a stated zone may be of the day before or behind where the line stands.
func TestDayInUTC(t *testing.T) {
	day := DayInUTC(DayOf("2004-12-30"))
	first, last := day.Between()
	require.Equal(t, []string{"2004-12-30Z", "2004-12-29", "2004-12-31"}, []string{day.String(), first.String(), last.String()})
	require.Equal(t, []int{2004, 0, 0}, []int{day.Year(), DayInUTC(DayOf("2004-12-31")).Year(), DayInUTC(DayOf("2005-01-01")).Year()})
}
