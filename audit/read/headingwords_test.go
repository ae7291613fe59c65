package read

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestHeadingsOfAnotherTime(t *testing.T) {
	for heading, is := range map[string]bool{
		"Recommended units": true, "RECOMMENDED_UNITS": true, "RecommendedUnits": true, "recommendedunits": true, "units (target)": true, "TargetUnits": true, "Proposed": true,
		"required discs": true, "planned no of discs": true, "Unit new": true, "Prévu": true, "Type (soll)": true, "OldType": true,
		"Units": false, "Unit designation": false, "Golden type": false, "Alternate strings": false, "Insulator": false, "mm": false, "": false,
	} {
		require.Equal(t, is, OfAnotherTime(heading), heading)
	}
}

func TestHeadingsOfStatus(t *testing.T) {
	for heading, is := range map[string]bool{
		"Status": true, "ASSET_STATUS": true, "AssetStatus": true, "Asset state": true, "Life-cycle": true, "État": true, "Lifecycle": true, "Zustand": true,
		"Estate": false, "Status date": false, "Statusbar": false, "Stated by": false, "": false, "12": false,
	} {
		require.Equal(t, is, NamesStatus(heading), heading)
	}
}
