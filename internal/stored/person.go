package stored

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"counterpoise/internal/jsonform"
	"counterpoise/internal/study"
	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
)

// PersonOf is the inverse of StorePerson, from its JSON. The person has no
// file; its faults name none.
func PersonOf(resolved []byte) (study.Person, error) {
	type reading struct{ Value, Error float64 }
	var r struct {
		Person string             `json:"person"`
		Sex    string             `json:"sex"`
		People string             `json:"people"`
		Known  map[string]reading `json:"known"`
		Again  bool               `json:"measured_again"`
		Scan   map[string]float64 `json:"scan"`
		Hold   Hold               `json:"hold"`
		Legs   jsonform.Legs      `json:"legs"`
		Pose   jsonform.Pose      `json:"pose"`
		Tilt   float64            `json:"tilt"`
		Load   jsonform.Load      `json:"load"`
		Tests  *struct {
			Hangs []struct {
				Side        string
				Held, Added float64
			} `json:"one_arm_hang"`
			Handstands []struct {
				Side                 string
				Held, Fingers, Added float64
				WallDistance         float64 `json:"wall_distance"`
			} `json:"one_arm_handstand"`
			Scales []struct {
				Side, Hand   string
				Angle, Reads float64
			} `json:"scale"`
		} `json:"tests"`
		Measured map[string]reading `json:"measured"`
	}
	var p study.Person
	decoder := json.NewDecoder(bytes.NewReader(resolved))
	decoder.DisallowUnknownFields() // a person with a part left out would be another person
	if err := decoder.Decode(&r); err != nil {
		return p, fmt.Errorf("the person in it cannot be read: %w", err)
	}
	sex, ok := anthro.ParseSex(r.Sex)
	if !ok {
		return p, fmt.Errorf("the person in it has the unknown sex %q", r.Sex)
	}
	if r.Hold.IsZero() {
		return p, errors.New("the person in it has no hold")
	}
	p.Person = person.Person{Name: r.Person, Sex: sex, Population: r.People, Again: r.Again, Hold: r.Hold.Hold, Legs: hold.Legs(r.Legs), Pose: hold.Pose(r.Pose), Tilt: r.Tilt, Load: body.Load(r.Load)}
	for name, k := range r.Known {
		m, ok := anthro.ParseMeasurement(name)
		if !ok {
			return p, fmt.Errorf("the person in it has the unknown measurement %q", name)
		}
		p.Known = append(p.Known, anthro.Known{Of: m, Value: k.Value, Error: k.Error})
	}
	slices.SortFunc(p.Known, func(a, b anthro.Known) int { return int(a.Of) - int(b.Of) })
	if r.Scan != nil {
		p.Scan = &[anthro.NumRegions]float64{}
		for region := range anthro.NumRegions {
			p.Scan[region] = r.Scan[region.String()]
		}
	}
	side := func(name string) person.Side {
		s, _ := person.ParseSide(name) // "" and what is unknown stand for either
		return s
	}
	if r.Tests != nil {
		p.Tests = &person.Tests{}
		for _, h := range r.Tests.Hangs {
			p.Tests.Hangs = append(p.Tests.Hangs, person.Hang{Side: side(h.Side), Seconds: h.Held, Added: h.Added})
		}
		for _, h := range r.Tests.Handstands {
			p.Tests.Handstands = append(p.Tests.Handstands, person.Handstand{Side: side(h.Side), Seconds: h.Held, Fingers: h.Fingers, Added: h.Added, WallDistance: h.WallDistance})
		}
		for _, s := range r.Tests.Scales {
			way, ok := person.ParseWay(s.Hand)
			if !ok {
				return p, fmt.Errorf("the person in it has a hand that goes %q", s.Hand)
			}
			p.Tests.Scales = append(p.Tests.Scales, person.Scale{Side: side(s.Side), Way: way, Angle: s.Angle, Kilograms: s.Reads})
		}
	}
	if r.Measured != nil {
		p.Measured = &person.Measured{}
		for name, to := range map[string]**person.Reading{"foot_load": &p.Measured.FootLoad, "arm_angle": &p.Measured.ArmAngle, "hand_spacing": &p.Measured.HandSpacing} {
			if v, ok := r.Measured[name]; ok {
				*to = &person.Reading{Value: v.Value, Error: v.Error}
			}
		}
	}
	return p, nil
}

// StorePerson returns all that is known of a person, by the names of the file's
// fields and in SI units, every default filled in: what a rerun needs.
func StorePerson(p *study.Person) map[string]any {
	type reading struct {
		Value float64 `json:"value"`
		Error float64 `json:"error,omitempty"`
	}
	known := map[string]reading{}
	for _, k := range p.Known {
		known[k.Of.String()] = reading{k.Value, k.Error}
	}
	r := map[string]any{
		"person": p.Name, "sex": p.Sex.String(), "known": known, "hold": Hold{p.Hold},
		"legs": jsonform.Legs(p.Legs), "pose": jsonform.Pose(p.Pose), "tilt": p.Tilt,
	}
	if p.Population != "" {
		r["people"] = p.Population
	}
	if p.Again {
		r[study.Again] = true
	}
	if p.Load != (body.Load{}) {
		r["load"] = jsonform.Load(p.Load)
	}
	if p.Scan != nil {
		scan := map[string]float64{}
		for region, kg := range p.Scan {
			scan[anthro.Region(region).String()] = kg
		}
		r["scan"] = scan
	}
	if p.Tests != nil {
		hangs, stands, scales := []map[string]any{}, []map[string]any{}, []map[string]any{}
		for _, h := range p.Tests.Hangs {
			hangs = append(hangs, map[string]any{"side": h.Side.String(), "held": h.Seconds, "added": h.Added})
		}
		for _, h := range p.Tests.Handstands {
			distance := cmp.Or(h.WallDistance, hold.DefaultWallDistance)
			stands = append(stands, map[string]any{"side": h.Side.String(), "held": h.Seconds, "fingers": h.Fingers, "added": h.Added, "wall_distance": distance})
		}
		for _, s := range p.Tests.Scales {
			scales = append(scales, map[string]any{"side": s.Side.String(), "hand": s.Way.String(), "angle": s.Angle, "reads": s.Kilograms})
		}
		r["tests"] = map[string]any{"one_arm_hang": hangs, "one_arm_handstand": stands, "scale": scales}
	}
	if m := p.Measured; m != nil {
		measured := map[string]reading{}
		for name, value := range map[string]*person.Reading{"foot_load": m.FootLoad, "arm_angle": m.ArmAngle, "hand_spacing": m.HandSpacing} {
			if value != nil {
				measured[name] = reading{value.Value, value.Error}
			}
		}
		r["measured"] = measured
	}
	return r
}
