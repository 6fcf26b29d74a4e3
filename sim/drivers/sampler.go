package drivers

// A Sampler is a joint distribution of inputs that can also be drawn given
// some of them. It is shared between goroutines.
type Sampler interface {
	// Inputs returns the number of inputs.
	Inputs() int

	// Independent reports whether the inputs a, as a whole, are independent
	// of the inputs b. Pairwise independence of groups is taken for mutual.
	Independent(a, b []int) bool

	// Draw turns rows of numbers that are independent and uniform on (0, 1)
	// into rows of inputs. Both have one column for each input; uniforms may
	// be overwritten.
	Draw(dst, uniforms [][]float64)

	// Condition prepares for drawing the inputs that are not kept given
	// those that are. keep has one element for each input.
	Condition(keep []bool) (Redraw, error)
}

// A Redraw fills the columns of dst that are not kept with draws from their
// distribution given the kept columns of x. What it leaves in the kept columns
// of dst, which are not those of x, means nothing. fresh holds rows that were drawn independently of x; what the draw
// needs of chance it takes from there and from nowhere else. It is safe for
// concurrent use.
//
// [FullAndIndependent] asks for more: that the draw takes from fresh just that
// which is independent there of the kept columns (the residual, in a regression
// on them), so that with x and fresh the same row the row itself comes out.
// Then x and fresh can change places. The samplers of this package do so.
type Redraw func(dst, x, fresh [][]float64)

// Uniform is a [Sampler] of independent inputs, so many, each uniform on the
// open interval (0, 1). The model maps them to what it needs.
type Uniform int

// Inputs returns the number of inputs.
func (u Uniform) Inputs() int { return int(u) }

// Independent is always true.
func (u Uniform) Independent(a, b []int) bool { return true }

// Draw copies.
func (u Uniform) Draw(dst, uniforms [][]float64) {
	for i, column := range uniforms {
		copy(dst[i], column)
	}
}

// Condition returns a function that takes what is not kept from the fresh
// rows. The error is always nil.
func (u Uniform) Condition(keep []bool) (Redraw, error) {
	if len(keep) != int(u) {
		panic("drivers: keep has not one element for each input")
	}
	var redrawn []int
	for i, k := range keep {
		if !k {
			redrawn = append(redrawn, i)
		}
	}
	return func(dst, _, fresh [][]float64) {
		for _, i := range redrawn {
			copy(dst[i], fresh[i])
		}
	}, nil
}
