package stored

import (
	"encoding/json"
	"fmt"
	"math"

	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/names"
)

// Range is a range of a quantity as it is kept; an end that is left open is null.
type Range struct {
	Of   anthro.Quantity `json:"of"`   // trait
	Low  *float64        `json:"low"`  // least
	High *float64        `json:"high"` // greatest
}

// StoreRanges returns ranges as they are kept.
func StoreRanges(ranges []anthro.Range) []Range {
	end := func(x float64) *float64 {
		if math.IsInf(x, 0) {
			return nil
		}
		return &x
	}
	return names.Each(ranges, func(r anthro.Range) Range { return Range{r.Of, end(r.Low), end(r.High)} })
}

// RangesOf is the inverse of StoreRanges.
func RangesOf(stored []Range) []anthro.Range {
	end := func(x *float64, open int) float64 {
		if x == nil {
			return math.Inf(open)
		}
		return *x
	}
	return names.Each(stored, func(r Range) anthro.Range {
		return anthro.Range{Of: r.Of, Low: end(r.Low, -1), High: end(r.High, +1)}
	})
}

// Target is what a quantity has among reweighted people as it is kept: one of a
// mean, a standard deviation and a share within a range.
type Target struct {
	Of        anthro.Quantity `json:"of"`               // trait
	Mean      *float64        `json:"mean,omitempty"`   // that was asked for, or was before
	Deviation *float64        `json:"sd,omitempty"`     // likewise
	Share     *float64        `json:"share,omitempty"`  // likewise, of people within a range
	Within    *Range          `json:"within,omitempty"` // that range
}

// StoreTargets returns targets as they are kept.
func StoreTargets(targets []anthro.Target) []Target {
	return names.Each(targets, func(t anthro.Target) Target {
		kept := Target{Of: t.Of}
		switch t.Kind {
		case anthro.DeviationOf:
			kept.Deviation = &t.Value
		case anthro.ShareOf:
			kept.Share, kept.Within = &t.Value, &StoreRanges([]anthro.Range{{Of: t.Of, Low: t.Low, High: t.High}})[0]
		default:
			kept.Mean = &t.Value
		}
		return kept
	})
}

// TargetsOf is the inverse of StoreTargets.
func TargetsOf(stored []Target) []anthro.Target {
	return names.Each(stored, func(s Target) anthro.Target {
		switch {
		case s.Deviation != nil:
			return anthro.Target{Of: s.Of, Kind: anthro.DeviationOf, Value: *s.Deviation}
		case s.Share != nil && s.Within != nil:
			r := RangesOf([]Range{*s.Within})[0]
			return anthro.Target{Of: s.Of, Kind: anthro.ShareOf, Value: *s.Share, Low: r.Low, High: r.High}
		case s.Mean != nil:
			return anthro.Target{Of: s.Of, Value: *s.Mean}
		}
		return anthro.Target{Of: s.Of} // of which a check says what is wrong
	})
}

// Reweighted says how people were reweighted.
type Reweighted struct {
	Where     []Range   `json:"where,omitempty"`    // who was selected
	Targets   []Target  `json:"targets"`            // what was asked for
	Before    []Target  `json:"before"`             // what was so before
	Away      []float64 `json:"means_moved_by_sds"` // a number a target
	People    int       `json:"survey_people"`      // in the survey
	Selected  float64   `json:"selected_share"`     // of the survey's people
	Effective float64   `json:"effective_share"`    // of those selected
}

// StoreReweighted returns how populations were reweighted, by their names.
func StoreReweighted(all map[string]*anthro.Reweighted) map[string]Reweighted {
	kept := map[string]Reweighted{}
	for name, r := range all {
		kept[name] = Reweighted{StoreRanges(r.Where), StoreTargets(r.Targets), StoreTargets(r.Before), r.Away, r.People, r.Selected, r.Effective}
	}
	return kept
}

type storedAmount struct {
	Metres float64 `json:"metres,omitempty"`
	Share  float64 `json:"share,omitempty"`
}

type storedMass struct {
	Region    body.Region `json:"region"`
	Kilograms float64     `json:"kilograms"`
	Working   float64     `json:"working"`
}

// Body is the change of a body as it is kept: what it alters, by the names of the
// table, lengths by metres and shares, size by its factor, then the masses.
type Body body.Change

func (s Body) IsZero() bool { return body.Change(s).IsZero() }

func (s Body) MarshalJSON() ([]byte, error) {
	set := map[string]any{}
	for t, by := range s.Of {
		switch info := body.Trait(t).Info(); {
		case by == body.Amount{}:
		case info.Unit == "":
			set[info.Name] = 1 + by.Share
		default:
			set[info.Name] = storedAmount(by)
		}
	}
	if len(s.Mass) > 0 {
		set["mass"] = names.Each(s.Mass, func(m body.AddedMass) storedMass { return storedMass(m) })
	}
	for name, stays := range s.stays() {
		if *stays {
			set[name] = true
		}
	}
	return json.Marshal(set)
}

// stays lists what is kept of the change that is yes or no.
func (s *Body) stays() map[string]*bool {
	return map[string]*bool{"mass_stays": &s.MassStays, "stature_stays": &s.StatureStays}
}

// UnmarshalJSON reads what MarshalJSON wrote, and nothing else.
func (s *Body) UnmarshalJSON(data []byte) error {
	var set map[string]json.RawMessage
	if err := json.Unmarshal(data, &set); err != nil {
		return err
	}
	*s = Body{}
	for name, value := range set {
		t, known := body.ParseTrait(name)
		var err error
		stays := s.stays()[name]
		switch {
		case stays != nil:
			err = json.Unmarshal(value, stays)
		case name == "mass":
			var masses []storedMass
			err = json.Unmarshal(value, &masses)
			s.Mass = names.Each(masses, func(m storedMass) body.AddedMass { return body.AddedMass(m) })
		case !known || t >= body.NumChanges:
			err = fmt.Errorf("unknown change %q of a body", name)
		case t.Info().Unit == "":
			factor := 1.0
			err = json.Unmarshal(value, &factor)
			s.Of[t].Share = factor - 1
		default:
			var by storedAmount
			err = json.Unmarshal(value, &by)
			s.Of[t] = body.Amount(by)
		}
		if err != nil {
			return err
		}
	}
	return nil
}
