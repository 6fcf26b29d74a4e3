package study

import (
	"math"

	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
)

// sizes reads what of a claim is a size of its quantity: what matters, and what the
// saying promises.
func (r *claimReader) sizes(doc *document) {
	c := r.claim
	if r.matters != nil {
		if q := r.size(r.matters); q.Dimension == units.Relative {
			c.Matters = claim.Threshold{Share: q.Value}
		} else {
			c.Matters = claim.Threshold{Absolute: q.Value}
		}
	}
	switch {
	case r.claimed == nil && r.within != nil:
		r.within.fail("is the range that counts as promised, but claimed is missing, as in claimed: 10 %%")
	case r.claimed != nil:
		clean := doc.clean()
		q := r.size(r.claimed)
		if !clean() {
			return
		}
		c.Claimed = claim.ClaimedAbout(q.Value, q.Dimension == units.Relative)
		if r.within != nil {
			r.asSaid(q.Dimension)
		}
	}
}

// size reads a size of the claim's quantity, in its unit or as a share of the baseline;
// after a fault it is zero.
func (r *claimReader) size(v *value) units.Quantity {
	text, ok := v.text()
	if !ok {
		return units.Quantity{}
	}
	want := r.dimensions()
	q, err := units.Parse(text, want...)
	if err != nil {
		if _, unit := units.Parse(text, units.BodyWeights, units.BodyWeightMetres, units.Angle, units.Length); len(want) == 1 && unit == nil {
			v.fail("found %q, but %s is a ratio and has no unit: write a share of it, as in 1 %%, or name a quantity that has one, as in quantity: %s",
				text, r.claim.Demand, r.withUnit())
			return units.Quantity{}
		}
		v.unreadable(text, err)
		return units.Quantity{}
	}
	if !(q.Value > 0) {
		v.fail("must be positive, found %q", text)
	}
	return q
}

// asSaid reads the range that counts as what the saying promises.
func (r *claimReader) asSaid(want units.Dimension) {
	v, said := r.within, r.claim.Claimed
	text, ok := v.text()
	if !ok {
		return
	}
	span, err := units.ParseRange(text, want)
	switch {
	case err != nil:
		v.unreadable(text, err)
	case math.IsInf(span.Low, 0) || math.IsInf(span.High, 0):
		v.fail("%q: both ends are needed, as in 40 %%..60 %%", printable(text))
	case !(span.Low <= said.Value && said.Value <= span.High):
		v.fail("%q does not hold the size that is claimed, %s", printable(text), words.SizeOf(r.claim, said.Share, said.Value))
	default:
		said.Low, said.High = span.Low, span.High
	}
}

// dimensions lists in what a size of the claim's quantity is written: its unit, where it
// has one, and a share of the baseline.
func (r *claimReader) dimensions() []units.Dimension {
	switch r.claim.Demand.Unit {
	case "BW":
		return []units.Dimension{units.BodyWeights, units.Relative}
	case "BW·m":
		return []units.Dimension{units.BodyWeightMetres, units.Relative}
	case "rad":
		return []units.Dimension{units.Angle, units.Relative}
	case "m":
		return []units.Dimension{units.Length, units.Relative}
	}
	return []units.Dimension{units.Relative}
}

// withUnit names a quantity of the claim's hold that has a unit.
func (r *claimReader) withUnit() string {
	for _, d := range scenario.DemandsOf(r.claim.Hold) {
		if d.Unit != "" {
			return d.Name
		}
	}
	return hold.RequiredForce.String()
}
