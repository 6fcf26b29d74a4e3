package scenario

import (
	"errors"
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/fault"
	"counterpoise/sim/linear"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"
)

// Part is a group of the people made ready: whom it is about, and what builds their
// bodies. It may be shared by goroutines.
type Part struct {
	Group
	Share     float64 // of all bodies
	Selection *anthro.Selection
	builders  map[bodyModel]*body.Builder
}

// bodyModel is what bodies are built by.
type bodyModel struct {
	masses   body.Masses
	segments string
}

// Parts makes the scenario's people ready, whose bodies are to be built by its
// models. Its errors: *fault.Error, and *anthro.RareError for conditions that hardly
// anybody meets.
func (s *Scenario) Parts() ([]*Part, error) {
	total := linear.Sum(names.Each(s.People, func(g Group) float64 { return g.Weight }))
	parts := make([]*Part, len(s.People))
	for i, g := range s.People {
		selection, err := s.selection(g)
		if err != nil {
			return nil, err
		}
		if parts[i], err = s.part(g, g.Weight/total, selection); err != nil {
			return nil, err
		}
	}
	return parts, nil
}

// part makes those selected of a group ready.
func (s *Scenario) part(g Group, share float64, selection *anthro.Selection) (p *Part, err error) {
	p = &Part{Group: g, Share: share, Selection: selection, builders: map[bodyModel]*body.Builder{}}
	for _, m := range s.Models {
		if p.builders[bodyModel{m.Masses, m.Segments}], err = body.NewBuilder(selection.Population, m.Masses, m.Segments); err != nil {
			return nil, fault.New("models", m, "%v", err)
		}
	}
	return p, nil
}

// Refit returns a part of the scenario with its people as they would be had the survey
// met others of the same kind; see anthro.Population.Refit.
func (s *Scenario) Refit(p *Part, k int) (*Part, error) {
	again, err := p.Selection.Population.Refit(k)
	if err != nil {
		return nil, err
	}
	return s.part(p.Group, p.Share, &anthro.Selection{Population: again, Where: p.Selection.Where})
}

// selection returns those of a group whom the scenario is about.
func (s *Scenario) selection(g Group) (*anthro.Selection, error) {
	population, err := g.Load()
	if err != nil {
		return nil, fault.New("people", g.Population, "%v", err)
	}
	selection := &anthro.Selection{Population: population, Where: s.Where}
	if len(s.Targets) == 0 {
		return selection, nil
	}
	weighted, err := selection.Reweight(s.Targets)
	var rare *anthro.RareError
	switch {
	case errors.As(err, &rare):
		return nil, err
	case err != nil:
		return nil, fault.New("people.targets", nil, "%v", err)
	}
	return &anthro.Selection{Population: weighted}, nil
}

// Builder returns what builds the part's bodies under one of the scenario's models.
func (p *Part) Builder(m Model) *body.Builder { return p.builders[bodyModel{m.Masses, m.Segments}] }

// unread returns the measurements that none of the part's builders looks at.
func (p *Part) unread() []anthro.Measurement {
	var common []anthro.Measurement
	first := true
	for _, b := range p.builders {
		also := b.Unread()
		if first {
			common, first = also, false
		}
		common = slices.DeleteFunc(common, func(m anthro.Measurement) bool { return !slices.Contains(also, m) })
	}
	return common
}

// Allot shares n bodies out by weight, the whole being n.
func Allot(weights []float64, n int) []int {
	total, share := linear.Sum(weights), 0.0
	rows, given := make([]int, len(weights)), 0
	for i, w := range weights {
		share += w
		upto := int(math.Round(share / total * float64(n)))
		rows[i] = upto - given
		given = upto
	}
	return rows
}

// Source draws the people of one part, block by block: who is in a block depends on
// the seed, the purpose and the block alone. It belongs to one goroutine.
type Source struct {
	sampler *anthro.Sampler
	stream  *montecarlo.Stream
}

// NewSource returns a source of a sampler's people.
func NewSource(sampler *anthro.Sampler, seed uint64, purpose string) *Source {
	return &Source{sampler, montecarlo.NewStream(seed, purpose)}
}

// Purpose names the random stream of a population's bodies, so that every study and
// command with the same seed meets the same people.
func Purpose(population string) string { return "people/" + population }

// Source returns a source of the part's people. Those measurements at which none of
// its builders looks are left out unless all is set.
func (p *Part) Source(seed uint64, all bool) *Source {
	return p.SourceFor(seed, Purpose(p.Population), all)
}

// SourceFor is Source with a stream of a purpose of its own.
func (p *Part) SourceFor(seed uint64, purpose string, all bool) *Source {
	s := NewSource(p.Selection.NewSampler(), seed, purpose)
	if !all {
		s.sampler.LeaveOut(s.stream.PassNormals, p.unread()...)
	}
	return s
}

// Block fills people with the first of a block.
func (s *Source) Block(people *anthro.People, block int) error {
	s.stream.Reset(uint64(block))
	return s.sampler.Draw(people, s.stream.Normals)
}

// Fill fills people with those of the blocks from the first on.
func (s *Source) Fill(people *anthro.People) error {
	n := people.Rows()
	for b := range montecarlo.Blocks(n) {
		from := b * montecarlo.BlockRows
		if err := s.Block(people.Slice(from, from+montecarlo.Rows(n, b)), b); err != nil {
			return err
		}
	}
	return nil
}
