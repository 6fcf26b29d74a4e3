package sweep

import (
	"counterpoise/sim/anthro"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/scenario"
)

// crowd is the people of a point: parts, by their index in the study's list, with
// their blocks one after another.
type crowd struct{ blocks []crowdBlock }

type crowdBlock struct {
	part  int // in the study's list
	block int // of that part's people
	rows  int
	first int // number of the first body, counted over the crowd
}

func newCrowd(parts []int, rows []int) *crowd {
	c := &crowd{}
	first := 0
	for i, part := range parts {
		for b := range montecarlo.Blocks(rows[i]) {
			n := montecarlo.Rows(rows[i], b)
			c.blocks = append(c.blocks, crowdBlock{part, b, n, first})
			first += n
		}
	}
	return c
}

// drawer draws the people of one part, a block at a time, on one goroutine.
type drawer struct {
	source *scenario.Source
	people *anthro.People
	block  int // that is in people, −1 for none
	rows   int // of it
}

func newDrawer(part *scenario.Part, seed uint64) *drawer {
	return &drawer{source: part.Source(seed, false), people: anthro.NewPeople(montecarlo.BlockRows), block: -1}
}

// draw returns the first rows of a block, which it remembers: the points of a
// task share their people.
func (d *drawer) draw(block, rows int) (*anthro.People, error) {
	people := d.people.Slice(0, rows)
	if d.block != block || d.rows < rows {
		d.block = -1
		if err := d.source.Block(people, block); err != nil {
			return nil, err
		}
		d.block, d.rows = block, rows
	}
	return people, nil
}
