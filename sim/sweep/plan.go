package sweep

import (
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
)

// A task's share of the work: chunkPoints points, so that drawing people costs
// little beside holding them up, over all bodies or, where points alone make few
// tasks, over a range of the blocks of bodies. Any change makes other tasks, and
// what was kept before it is of no use.
const (
	chunkPoints = 16
	manyTasks   = 256     // enough for many machines
	leastBlocks = 4       // in a range
	mostBodies  = 1 << 22 // in a range
	bodyRange   = 1 << 16 // in a range, where every body is kept
)

// plan is how a study is cut into tasks: chunks of points, each with every range
// of blocks in turn.
type plan struct {
	points, blocks int // blocks of the people with the most
	chunks, ranges int
}

func newPlan(points, bodies, blocks int, keepBodies bool) plan {
	p := plan{points: points, blocks: blocks, chunks: (points + chunkPoints - 1) / chunkPoints}
	if keepBodies {
		p.chunks = points
		p.ranges = (bodies + bodyRange - 1) / bodyRange
	} else {
		p.ranges = max((manyTasks+p.chunks-1)/p.chunks, (bodies+mostBodies-1)/mostBodies)
		p.ranges = min(p.ranges, blocks/leastBlocks)
	}
	p.ranges = min(max(p.ranges, 1), blocks)
	return p
}

// tasks returns the number of tasks.
func (p plan) tasks() int { return p.chunks * p.ranges }

// task is one task: points from..to-1 and blocks low..high-1 of their people.
type task struct{ from, to, low, high int }

func (p plan) task(i int) task {
	chunk, part := i/p.ranges, i%p.ranges
	return task{
		from: cut(p.points, chunk, p.chunks), to: cut(p.points, chunk+1, p.chunks),
		low: cut(p.blocks, part, p.ranges), high: cut(p.blocks, part+1, p.ranges),
	}
}

// cut returns where the given part of n things begins.
func cut(n, part, parts int) int { return int(int64(n) * int64(part) / int64(parts)) }

// Tasks returns the number of tasks into which the study is cut.
func (s *Study) Tasks() int { return s.plan().tasks() }

func (s *Study) plan() plan {
	weights := names.Each(s.Base.People, func(g scenario.Group) float64 { return g.Weight })
	for i := range s.Axes {
		if s.Axes[i].Of == "people" {
			weights = []float64{1}
		}
	}
	blocks := 0
	for _, rows := range scenario.Allot(weights, s.N) {
		blocks += montecarlo.Blocks(rows)
	}
	return newPlan(s.NumPoints(), s.N, blocks, s.Bodies)
}

// Shard returns the tasks from..to-1 of one of several shards, counted from 1.
func (s *Study) Shard(shard, of int) (from, to int) {
	n := s.Tasks()
	return cut(n, shard-1, of), cut(n, shard, of)
}
