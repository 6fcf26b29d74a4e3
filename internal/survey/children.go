package survey

import (
	"bytes"
	"fmt"
	"math"

	"counterpoise/datasets"
	"counterpoise/sim/anthro"
	"counterpoise/sim/montecarlo"

	"gonum.org/v1/gonum/stat"
)

// Children are people of one sex measured in 1975-77 (Snyder et al. 1977, UM-HSRI-77-17),
// in SI units; NaN stands for what was not measured on somebody.
type Children struct {
	Age     []float64 // exact, years
	Descent []Descent
	// Item holds what was measured: rows by item, see the list of items.
	Item [numItems][]float64

	file datasets.Raw
}

// item is something that was measured of the children.
type item int

// Everybody has those up to footItem; those of limbs a third, and the centre of mass of
// the whole body, from the soles, lying, a part of that third.
const (
	statureItem item = iota
	massItem
	waistItem
	sittingItem
	seatedHipItem
	seatItem // buttock to knee
	shouldersItem
	elbowItem // shoulder to elbow, bent
	reachItem // elbow, bent, to fingertip
	handItem
	footItem

	suprasternaleItem
	trochanterItem
	tibialeItem
	biacromialItem
	upperArmItem
	forearmItem
	hipItem

	supineItem
	centreItem

	numItems
	firstLimb = suprasternaleItem
	lastLimb  = hipItem
	limbs     = int(lastLimb-firstLimb) + 1
)

// childColumn names the file's column of each item.
var childColumn = [numItems]string{
	statureItem: "STATURE", massItem: "WEIGHT", waistItem: "WAIST CIRCUMFERENCE", sittingItem: "ERECT SITTING HEIGHT",
	seatedHipItem: "MAXIMUM HIP BREADTH (SEATED)", seatItem: "BUTTOCK-KNEE LENGTH", shouldersItem: "SHOULDER BREADTH",
	elbowItem: "SHOULDER-ELBOW LENGTH", reachItem: "ELBOW-HAND LENGTH", handItem: "HAND LENGTH", footItem: "FOOT LENGTH",
	suprasternaleItem: "SUPRASTERNALE HEIGHT", trochanterItem: "TROCHANTERIC HEIGHT", tibialeItem: "TIBIALE HEIGHT",
	biacromialItem: "BIOCROMIAL BREADTH", upperArmItem: "ACROMION-RADIALE LENGTH", forearmItem: "RADIALE-STYLION LENGTH",
	hipItem: "HIP BREADTH AT TROCHANTER", supineItem: "SUPINE STATURE", centreItem: "STANDING CENTER OF GRAVITY",
}

// ofItem says which measurement an item is, for those that are one of ours.
var ofItem = map[item]anthro.Measurement{
	sittingItem: anthro.SittingHeight, handItem: anthro.HandLength, footItem: anthro.FootLength,
	suprasternaleItem: anthro.SuprasternaleHeight, trochanterItem: anthro.TrochanterionHeight, tibialeItem: anthro.TibialHeight,
	biacromialItem: anthro.BiacromialBreadth, upperArmItem: anthro.UpperArmLength, forearmItem: anthro.ForearmLength,
	hipItem: anthro.HipBreadth,
}

// outlying is how many standard deviations of its share of stature a length may lie off
// before it counts as written down wrongly.
const outlying = 5

// ReadChildren reads the boys or the girls who are at least so many years old, and
// younger than so many, from the folder of raw files: those with stature and mass.
func ReadChildren(folder string, sex anthro.Sex, from, below float64) (*Children, error) {
	file, err := readRaw(folder, "snyder1977-children/chicos.csv.gz", "Snyder et al. 1977, UM-HSRI-77-17, individual data")
	if err != nil {
		return nil, err
	}
	// Its lines end as on old Macintosh computers.
	file.text = bytes.ReplaceAll(file.text, []byte("\r"), []byte("\n"))
	columns, err := readColumns(file, append([]string{"SEX", "AGE IN YEARS", "RACE"}, childColumn[:]...)...)
	if err != nil {
		return nil, err
	}
	c := &Children{file: file.record}
	seen := map[[numItems + 1]float64]bool{}
	for i := range columns[0] {
		years := columns[1][i] / 1000
		var own [numItems + 1]float64 // the last is the age
		own[numItems] = years
		for k := range numItems {
			own[k] = columns[3+k][i] / 1000 // millimetres
			if k == massItem {
				own[k] = columns[3+k][i] / 10
			}
			if !(own[k] > 0) {
				own[k] = math.NaN() // 0 is what was not measured
			}
		}
		if columns[0][i] != sexCode[sex] || !(years >= from && years < below) || math.IsNaN(own[statureItem]+own[massItem]) {
			continue
		}
		if seen[known(own)] {
			continue // one row appears twice
		}
		seen[known(own)] = true
		c.Age = append(c.Age, years)
		c.Descent = append(c.Descent, descentOf(columns[2][i], map[float64]Descent{1: White, 2: Black}))
		for k := range c.Item {
			c.Item[k] = append(c.Item[k], own[k])
		}
	}
	if len(c.Age) == 0 {
		return nil, fmt.Errorf("%s: nobody of %g to %g years", file.record.File, from, below)
	}
	c.leaveOutSlips()
	return c, nil
}

// known is a row without NaN, which equals nothing.
func known(row [numItems + 1]float64) [numItems + 1]float64 {
	for k, x := range row {
		if math.IsNaN(x) {
			row[k] = 0
		}
	}
	return row
}

// leaveOutSlips takes lengths far from everybody's share of stature for not measured.
func (c *Children) leaveOutSlips() {
	for k := range c.Item {
		if k := item(k); k == statureItem || k == massItem || k == waistItem {
			continue
		}
		var shares []float64
		for i, x := range c.Item[k] {
			if !math.IsNaN(x) {
				shares = append(shares, x/c.Item[statureItem][i])
			}
		}
		mean, spread := stat.MeanStdDev(shares, nil)
		for i, x := range c.Item[k] {
			if math.Abs(x/c.Item[statureItem][i]-mean) > outlying*spread {
				c.Item[k][i] = math.NaN()
			}
		}
	}
}

// only returns the children who are meant.
func (c *Children) only(meant func(i int) bool) *Children {
	var rows []int
	for i := range c.Age {
		if meant(i) {
			rows = append(rows, i)
		}
	}
	return c.at(rows)
}

// at returns the children of these rows, each as often as there.
func (c *Children) at(rows []int) *Children {
	some := &Children{file: c.file}
	for _, i := range rows {
		some.Age, some.Descent = append(some.Age, c.Age[i]), append(some.Descent, c.Descent[i])
		for k := range c.Item {
			some.Item[k] = append(some.Item[k], c.Item[k][i])
		}
	}
	return some
}

// resampled returns as many children drawn with replacement.
func (c *Children) resampled(stream *montecarlo.Stream) *Children {
	rows := make([]int, len(c.Age))
	for i := range rows {
		rows[i] = int(stream.Float64() * float64(len(rows)))
	}
	return c.at(rows)
}
