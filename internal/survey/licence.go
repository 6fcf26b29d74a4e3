package survey

// What is known of the surveys' licences and terms of use. It stands in the data sets, and
// from there wherever people are shown; datasets/SOURCES.md says where it was read.
const (
	licenceOfNHANES = "work of the US Government (CDC/NCHS), public domain; NCHS asks for statistical reporting and analysis only, and no attempt to identify or link anyone"
	licenceOfArmy   = "work of the US Government, public domain (17 U.S.C. 105) as others say who carry it; the survey's own terms were not seen in writing"
	licenceOfPublic = licenceOfNHANES + ". ANSUR II: " + licenceOfArmy
	licenceOfYouths = licenceOfNHANES + ". The measurements of 1977: made for and published by US Government agencies, their licence was not seen in writing. ANSUR II: " + licenceOfArmy
)
