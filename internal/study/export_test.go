package study

// What the tests of what outputs keep share with those of the readers.
var (
	AboutPeople = aboutPeople
	ClaimWith   = claimOf
	GoodPerson  = goodPerson
	Near        = near
	Read        = read
	ReadPerson  = readPerson
	With        = with
)
