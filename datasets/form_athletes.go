package datasets

// Athletes is a file in athletes/: people of a survey who are weighted to the sizes that
// were published of athletes, or why there are none of that name.
type Athletes struct {
	Name       string     `json:"name"`
	Title      string     `json:"title"`
	Who        string     `json:"who"`  // "competitive artistic gymnasts"
	From       string     `json:"from"` // the survey's population
	Ages       [2]float64 `json:"ages"` // in whole years, of those of it who are weighted
	Provenance Provenance `json:"provenance"`
	// Samples are the athletes whose sizes were published, each sample of the same sizes.
	Samples []AthleteSample `json:"samples"`
	// NotTaken are samples that were published too, with why they are none of these.
	NotTaken []AthleteSample `json:"not_taken,omitempty"`
	NotKnown []string        `json:"not_known,omitempty"` // of these athletes, and matters to holds
	// Missing says what would be needed, and Instead whom to take, where there are no
	// such people: then there are neither ages nor samples.
	Missing string `json:"missing,omitempty"`
	Instead string `json:"instead,omitempty"`
}

// AthleteSample is what was published of one sample of athletes.
type AthleteSample struct {
	Who    string        `json:"who"`
	Ages   string        `json:"ages,omitempty"` // as printed
	Sizes  []AthleteSize `json:"sizes,omitempty"`
	Source string        `json:"source"`
	Seen   string        `json:"seen"` // how the numbers were seen
	Why    string        `json:"why,omitempty"`
}

// AthleteSize is the mean and the standard deviation of a measurement, in its unit.
type AthleteSize struct {
	Of   string  `json:"of"`
	Unit string  `json:"unit"`
	N    int     `json:"n"`
	Mean float64 `json:"mean"`
	SD   float64 `json:"sd"`
}
