package body

// Whole are the regions that make up a body, each part of it in one of them.
var Whole = [...]Region{Arms, Legs, Trunk, Head}

// MassOf returns the mass of a region of body i, without what it carries, kg.
func (c *Columns) MassOf(r Region, i int) float64 {
	c = c.Bare()
	share := 0.0
	switch r {
	case Arms:
		share = 2 * c.ArmShare(i)
	case Legs:
		share = 2 * c.LegShare(i)
	case Trunk:
		share = c.TrunkShare[i]
	case Head:
		share = c.HeadShare[i]
	case UpperTrunk:
		share = c.TrunkShare[i] - c.MiddleTrunkShare[i] - c.LowerTrunkShare[i]
	case UpperBody:
		return c.MassOf(Arms, i) + c.MassOf(UpperTrunk, i)
	}
	return share * c.Mass[i]
}

// Added returns the mass that a change put on each region of Whole of body i, kg;
// negative where it took some off. first and changed are the columns before and after
// the change.
func Added(first, changed *Columns, i int) (kilograms [len(Whole)]float64) {
	for k, r := range Whole {
		kilograms[k] = changed.MassOf(r, i) - first.MassOf(r, i)
	}
	return kilograms
}
