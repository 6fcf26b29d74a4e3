// Package montecarlo is the engine under the simulations: it makes random and
// quasi-random numbers, runs work over blocks of rows, and summarises what
// comes out. It knows nothing of bodies.
//
// Its one promise is that the same seed gives the same bytes, whatever the
// number of workers:
//
//  1. Rows are cut into blocks of [BlockRows]. Each block has its own
//     [Stream], keyed by the seed, a purpose and the block's number, so what
//     is drawn for a row depends on nothing else.
//  2. [Run] hands blocks to workers and gives the results back in the order
//     of the blocks, on one goroutine.
//  3. Summaries either count ([Histogram]: integers, so the order of merging
//     cannot matter) or are merged in the order of the blocks ([Moments]:
//     floating-point sums, where the order does matter).
//
// The promise holds on every processor for functions that use [counterpoise/sim/math]: those of
// the standard library may differ in the last bit between processors.
//
// A [Sobol] sequence covers a cube more evenly than random points do.
// [Wilson] and [BootstrapMedianDifference] put intervals around shares and
// around differences of medians.
package montecarlo

// BlockRows is the number of rows in a block, except in the last, which may be
// shorter. It is part of what a seed means: another value gives other draws.
const BlockRows = 4096

// Blocks returns the number of blocks that n rows fill. It panics if n is
// negative.
func Blocks(n int) int {
	if n < 0 {
		panic("montecarlo: negative number of rows")
	}
	blocks := n / BlockRows
	if n%BlockRows != 0 {
		blocks++
	}
	return blocks
}

// Rows returns the number of rows in the given block, counted from 0, of n
// rows in all. It panics if there is no such block.
func Rows(n, block int) int {
	if block < 0 || block >= Blocks(n) {
		panic("montecarlo: no such block")
	}
	return min(BlockRows, n-block*BlockRows)
}

// Columns returns columns of rows zeros, one after another in memory.
func Columns(columns, rows int) [][]float64 {
	all := make([]float64, columns*rows)
	c := make([][]float64, columns)
	for i := range c {
		c[i] = all[i*rows : (i+1)*rows : (i+1)*rows]
	}
	return c
}
