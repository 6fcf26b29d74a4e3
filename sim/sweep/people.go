package sweep

import (
	"math"

	"counterpoise/sim/anthro"
	"counterpoise/sim/claim"
	"counterpoise/sim/montecarlo"
)

func weights(people []claim.People) []float64 {
	list := make([]float64, len(people))
	for i, p := range people {
		list[i] = p.Weight
	}
	return list
}

// allot shares n bodies out by weight, the whole being n.
func allot(weights []float64, n int) []int {
	var total, share float64
	for _, w := range weights {
		total += w
	}
	rows, given := make([]int, len(weights)), 0
	for i, w := range weights {
		share += w
		upto := int(math.Round(share / total * float64(n)))
		rows[i] = upto - given
		given = upto
	}
	return rows
}

// crowd is the people of a point: populations, by their index in the study's
// list, with their blocks one after another.
type crowd struct{ blocks []crowdBlock }

type crowdBlock struct {
	population int // in the study's list
	block      int // of that population's stream
	rows       int
	first      int // number of the first body, counted over the crowd
}

func newCrowd(populations []int, rows []int) *crowd {
	c := &crowd{}
	first := 0
	for i, population := range populations {
		for b := range montecarlo.Blocks(rows[i]) {
			n := montecarlo.Rows(rows[i], b)
			c.blocks = append(c.blocks, crowdBlock{population, b, n, first})
			first += n
		}
	}
	return c
}

// drawer draws the people of one population, a block at a time, on one goroutine.
type drawer struct {
	sampler *anthro.Sampler
	stream  *montecarlo.Stream
	people  *anthro.People
	block   int // that is in people, −1 for none
	rows    int // of it
}

func newDrawer(selection *anthro.Selection, seed uint64, purpose string) *drawer {
	return &drawer{sampler: selection.NewSampler(), stream: montecarlo.NewStream(seed, purpose),
		people: anthro.NewPeople(montecarlo.BlockRows), block: -1}
}

// draw returns the first rows of a block, which it remembers: the points of a
// task share their people.
func (d *drawer) draw(block, rows int) (*anthro.People, error) {
	if d.block != block || d.rows < rows {
		d.block = -1
		d.stream.Reset(uint64(block))
		if err := d.sampler.Draw(d.people.Slice(0, rows), d.stream.Normals); err != nil {
			return nil, err
		}
		d.block, d.rows = block, rows
	}
	return d.people.Slice(0, rows), nil
}
