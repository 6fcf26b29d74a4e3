package sweep

import (
	"maps"
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/strength"
)

// tileRows is how many bodies are worked on at a time: few enough for their
// columns to stay in a processor's nearer cache.
const tileRows = 512

// ready is a point made ready: what does not change from body to body.
type ready struct {
	setting  *Setting
	hold     *hold.Hold
	given    []int           // indices of the study's demands that the hold asks for
	crowd    *crowd          // shared by points with the same people
	builders []*body.Builder // by population
	next     assume.Set      // for the changed body
	paired   bool            // whether the changed body's posture needs the first's
}

func (p *prepared) ready(setting *Setting) *ready {
	h, _ := hold.Parse(setting.Hold) // the study has been checked
	r := &ready{setting: setting, hold: h, crowd: p.crowdOf(setting), next: setting.Assume}
	for d, demand := range p.study.Demands {
		if h.AsksFor(setting.Model.Statics, demand) {
			r.given = append(r.given, d)
		}
	}
	r.builders = p.builders[bodyModel{setting.Model.Masses, setting.Model.Segments}]
	ch := &setting.Change
	for _, name := range slices.Sorted(maps.Keys(ch.Assume)) {
		id, _ := assume.Parse(name)
		r.next[id] = ch.Assume[name]
	}
	r.paired = ch.Arms == nil && ch.Posture != claim.AtBest || ch.Arms != nil && ch.Arms.Angle == nil
	return r
}

// bench is the memory in which one goroutine holds bodies up, a tile at a time.
type bench struct {
	rows          int // of the tile at hand
	before, after *body.Columns
	can, canAfter *hold.Capacity
	first, second *hold.Result
	ratio         []strength.Ratio
	room, kept    []float64

	// What is in before: points that differ in their change alone share it.
	builder *body.Builder
	assumed assume.Set
}

func newBench(demands []hold.Demand) *bench {
	return &bench{
		before: body.New(tileRows), after: body.New(tileRows),
		can: hold.NewCapacity(tileRows), canAfter: hold.NewCapacity(tileRows),
		first: hold.NewResult(tileRows, hold.ArmAngle, hold.HandSpacing), second: hold.NewResult(tileRows, demands...),
		ratio: make([]strength.Ratio, tileRows), room: make([]float64, tileRows), kept: make([]float64, tileRows),
	}
}

// slice returns the bench cut to the first rows.
func (b *bench) slice(rows int) *bench {
	return &bench{
		rows: rows, before: b.before.Slice(0, rows), after: b.after.Slice(0, rows),
		can: b.can.Slice(0, rows), canAfter: b.canAfter.Slice(0, rows),
		first: b.first.Slice(0, rows), second: b.second.Slice(0, rows),
		ratio: b.ratio[:rows], room: b.room[:rows], kept: b.kept[:rows],
	}
}

// hold holds the people of a tile up as the point asks. It returns the bodies that
// are held.
func (b *bench) hold(r *ready, people *anthro.People, builder *body.Builder) (*body.Columns, error) {
	s, ch := r.setting, &r.setting.Change
	if b.builder != builder || b.assumed != s.Assume {
		builder.Build(b.before, people, &s.Assume)
		b.builder, b.assumed = builder, s.Assume
	}
	held, can := b.before, b.canAfter
	strength.OfReference(can, b.before, &r.next)
	if !ch.Body.IsZero() {
		if err := ch.Body.Apply(b.after, b.before, &s.Assume); err != nil {
			return nil, fault("change", "%v", err)
		}
		held = b.after
		ch.Strengthen(can, b.ratio, b.before, held, &s.Assume)
	}
	posture := hold.Posture{Legs: s.Legs, Pose: s.Pose, Tilt: s.Tilt}
	next := posture
	if r.paired {
		strength.OfReference(b.can, b.before, &s.Assume)
		r.hold.Solve(b.first, b.before, b.can, posture, s.Model.Statics, &s.Assume)
		next.Rule = ch.Posture.Rule()
		next.Angle, next.Spacing = b.first.Value[hold.ArmAngle], b.first.Value[hold.HandSpacing]
	}
	if ch.Arms != nil {
		ch.Arms.Place(&next, b.first, b.room)
	}
	r.hold.Solve(b.second, held, can, next, s.Model.Statics, &r.next)
	return held, nil
}

// count adds the tile to the tally of the point.
func (b *bench) count(t *tally, r *ready, demands []hold.Demand) {
	t.bodies += int64(b.rows)
	possible := 0
	for _, ok := range b.second.Possible {
		if ok {
			possible++
		}
	}
	t.possible += int64(possible)
	for _, d := range r.given {
		values := b.second.Value[demands[d]]
		if possible < b.rows {
			kept := b.kept[:0]
			for i, ok := range b.second.Possible {
				if ok {
					kept = append(kept, values[i])
				}
			}
			values = kept
		}
		t.demands[d].add(values)
	}
}
