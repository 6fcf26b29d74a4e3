// Package segment holds published tables of body segments: which share of body
// mass each has, and where its centre of mass lies between two landmarks.
//
// It holds the tables as they were printed, alternative endpoints included. How
// a body is assembled from them, and whether shares are made to sum to one, is
// for the caller to decide.
package segment

import (
	"fmt"

	"counterpoise/datasets"
	"counterpoise/sim/anthro"
	"counterpoise/sim/math"
	"counterpoise/sim/names"
)

// Row is one segment between one pair of endpoints. The same segment appears in
// several rows where a table gives it between different endpoints.
type Row struct {
	Name      string    // such as "thigh"; limbs are one side
	Endpoints [2]string // landmarks by abbreviation; the first is the origin

	// Length is the mean distance between the endpoints in the table's sample,
	// in metres; NaN where the table has none.
	Length float64
	// MassShare is the share of body mass, one side for limbs.
	MassShare float64
	// CentreShare is the distance of the centre of mass from the first endpoint
	// as a share of the length; NaN where the table has none between endpoints
	// that can be measured.
	CentreShare float64
}

// Table is a segment table for one sex.
type Table struct {
	Name     string
	Title    string
	Citation string
	Sex      anthro.Sex
	Sample   string  // whom it was measured on
	Stature  float64 // mean of the sample in metres, NaN where the table has none
	Mass     float64 // mean of the sample in kilograms, NaN where the table has none
	Rows     []Row
	// Landmarks explains the abbreviations of the endpoints.
	Landmarks map[string]string
}

// Names returns the tables there are, sorted.
func Names() []string { return datasets.Names("segments") }

// Load returns a table for one sex. Tables that do not tell the sexes apart are
// the same for both. The error for an unknown name lists the names there are.
func Load(name string, sex anthro.Sex) (*Table, error) {
	var file datasets.Segments
	if err := datasets.Read("segments", name, &file); err != nil {
		return nil, fmt.Errorf("segment table: %w", err)
	}
	sample, ok := file.BySex[sex.String()]
	if !ok {
		sample, ok = file.BySex["both"]
	}
	if !ok {
		return nil, fmt.Errorf("segment table %s has no entry for sex %s", name, sex)
	}
	table := &Table{
		Name: file.Name, Title: file.Title, Citation: file.Provenance.Citation,
		Sex: sex, Sample: sample.Sample, Stature: orNaN(sample.Stature), Mass: orNaN(sample.Mass),
		Landmarks: file.Endpoints,
	}
	for _, r := range sample.Rows {
		table.Rows = append(table.Rows, Row{
			Name: r.Segment, Endpoints: [2]string{r.Origin, r.Other},
			Length: orNaN(r.Length) / 1000, MassShare: orNaN(r.MassShare) / 100, CentreShare: orNaN(r.CentreShare) / 100,
		})
	}
	return table, nil
}

// Row finds the row of a segment between two landmarks, the origin first.
func (t *Table) Row(name, origin, other string) (Row, bool) {
	return names.First(t.Rows, func(r Row) bool { return r.Name == name && r.Endpoints == [2]string{origin, other} })
}

func orNaN(value *float64) float64 {
	if value == nil {
		return math.NaN()
	}
	return *value
}
