package outline

// How many there are of each, for who lists their names.
const (
	NumViews    = numViews
	NumFacings  = numFacings
	NumAgainst  = numAgainst
	NumFeet     = numFeet
	NumFixtures = numFixtures
	NumRules    = numRules
	NumSharings = numSharings
)
