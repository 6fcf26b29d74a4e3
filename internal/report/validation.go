package report

import (
	"fmt"
	"math"

	"counterpoise/internal/outcome"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
)

// ComparedWithPlates stands in place of NotValidated where measured forces of the
// very quantity have been published.
const ComparedWithPlates = "Model estimate; published force plates agree in part."

// Validation is what must be said of a claim's numbers: that nobody measured the
// forces, or that somebody did.
func Validation(c *claim.Claim) string {
	if MeasuredOnPlates(c) {
		return ComparedWithPlates
	}
	return NotValidated
}

// MeasuredOnPlates reports whether a claim's quantity is the one that force plates
// were read for: the weight on the hands in push-ups, before and after.
func MeasuredOnPlates(c *claim.Claim) bool {
	return c.Demand == hold.HandShare && c.Hold == hold.PushUp && (c.Change == nil || c.Change.Hold == nil)
}

// PlateRow is one published measurement beside what the model gives at its
// defaults. Forces are shares of body weight.
type PlateRow struct {
	Position string   `json:"position"`
	Who      string   `json:"who"`
	Source   string   `json:"source"`
	Measured float64  `json:"measured"`
	SD       *float64 `json:"sd_between_people"` // nil where not published
	Model    float64  `json:"model"`
	Apart    float64  `json:"model_less_measured"`
	Says     string   `json:"says"` // whether they agree, in words
}

// plateRows is how many drawn people of each sex stand behind a model's mean.
const plateRows = 1000

// closeEnough is how far from a measured mean, in body weights, the model may be
// where nobody published how far people differ.
const closeEnough = 0.03

// Plates holds the model, at the default assumptions and over people drawn from the
// survey with a seed, against published force plates.
func Plates(seed uint64) ([]PlateRow, error) {
	var rows []PlateRow
	for _, p := range hold.ForcePlates() {
		row := PlateRow{Position: p.Position, Who: p.Who, Source: p.Source, Measured: p.Measured}
		for _, part := range []struct {
			population string
			n          int
		}{{"ansur2-men", p.Men}, {"ansur2-women", p.Women}} {
			if part.n == 0 {
				continue
			}
			mean, err := meanOnHands(part.population, p.Pose, seed)
			if err != nil {
				return nil, err
			}
			row.Model += float64(part.n) / float64(p.Men+p.Women) * mean
		}
		row.Apart = row.Model - row.Measured
		allowed, what := allowedApart(p.SD), words.Number(closeEnough, 2)
		if p.SD > 0 {
			row.SD, what = ptr(p.SD), "one standard deviation"
		}
		row.Says = "within " + what
		if math.Abs(row.Apart) > allowed {
			row.Says = "a miss: beyond " + what
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// PlatesAgainst says of a claim about a pose in which the model misses the force plates
// by how much it does, and whether that is more than the effect itself, so that not even
// its direction can be trusted. It is empty where no such pose is concerned. The rows
// are those of Plates.
func PlatesAgainst(r *outcome.Result, rows []PlateRow) string {
	least, most := platesMissed(r.Claim, rows)
	effect := r.Models[0].Pooled.Draws.Effect.P50
	if most == 0 || effect == nil {
		return ""
	}
	p := words.DemandOf(hold.HandShare, hold.Equilibrium)
	by := p.Number(least)
	if most != least {
		by += " to " + p.Number(most)
	}
	size := p.Number(math.Abs(*effect))
	if PlatesOutweigh(r, rows) {
		return fmt.Sprintf("In a pose of this claim the model misses the force plates by %s, as much as the effect for the median body (%s) or more: "+
			"not even the direction of the effect can be trusted.", by, size)
	}
	return fmt.Sprintf("In a pose of this claim the model misses the force plates by %s; the effect for the median body is %s.", by, size)
}

// PlatesOutweigh reports whether the model misses the force plates in a pose of the claim
// by as much as the effect, or more. The rows are those of Plates.
func PlatesOutweigh(r *outcome.Result, rows []PlateRow) bool {
	_, most := platesMissed(r.Claim, rows)
	effect := r.Models[0].Pooled.Draws.Effect.P50
	return most > 0 && effect != nil && math.Abs(*effect) <= most
}

// platesMissed is the least and the most by which the model misses the force plates in
// poses like those of a claim about the weight on the hands; most is 0 without a miss.
func platesMissed(c *claim.Claim, rows []PlateRow) (least, most float64) {
	if len(rows) == 0 || c.Demand != hold.HandShare {
		return 0, 0
	}
	poses := []hold.Pose{c.Pose}
	if c.Change != nil && c.Change.Pose != nil {
		poses = append(poses, *c.Change.Pose)
	}
	like := func(measured hold.Pose) bool {
		for _, pose := range poses {
			for _, v := range []hold.Variant{hold.Kneeling, hold.Bent} {
				if pose[v] != 0 && measured[v] != 0 {
					return true
				}
			}
		}
		return false
	}
	least = math.Inf(1)
	for i, p := range hold.ForcePlates() {
		if off := math.Abs(rows[i].Apart); like(p.Pose) && off > allowedApart(p.SD) {
			least, most = math.Min(least, off), math.Max(most, off)
		}
	}
	return least, most
}

// allowedApart is how far from a measured mean the model may be: the standard deviation
// between people, where it was published.
func allowedApart(sd float64) float64 {
	if sd > 0 {
		return sd
	}
	return closeEnough
}

// meanOnHands is the mean weight on the hands of drawn people in a push-up.
func meanOnHands(population string, pose hold.Pose, seed uint64) (float64, error) {
	a := assume.Defaults()
	s := scenario.Scenario{Hold: hold.PushUp, Pose: pose, People: scenario.Survey(population), Models: []scenario.Model{scenario.DefaultModel(hold.Equilibrium)}}
	parts, err := s.Parts()
	if err != nil {
		return 0, err
	}
	people := anthro.NewPeople(plateRows)
	if err := parts[0].Source(seed, true).Fill(people); err != nil {
		return 0, err
	}
	all := []scenario.Case{{Setup: scenario.NewSetup(&s), Model: hold.Equilibrium, Builder: parts[0].Builder(s.Models[0]), Assume: &a}}
	sum, n := 0.0, 0
	err = scenario.NewBench(scenario.TileRows, []hold.Demand{hold.HandShare}, nil).Run(people, all, func(_ int, tile *scenario.Tile) error {
		for i, share := range tile.First.Result.Value[hold.HandShare] {
			if tile.First.Result.Possible[i] {
				sum += share
				n++
			}
		}
		return nil
	})
	if err == nil && n == 0 {
		err = fmt.Errorf("report: nobody of %s can hold the push-up", population)
	}
	return sum / float64(n), err
}
