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
