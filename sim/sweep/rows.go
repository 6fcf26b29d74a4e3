package sweep

import (
	"encoding/binary"

	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/scenario"
)

// BodyColumns are the columns that tell bodies apart: what body is held, the change
// included.
var BodyColumns = []body.Trait{body.Stature, body.Mass, body.ArmLength, body.ShoulderSpan, body.TrunkLength, body.LegLength}

// Rows are bodies at one point, one row a body. They are valid only during the
// call that receives them.
type Rows struct {
	Point    int
	N        int
	Body     []int32     // number of the body, the same person at every point with the same people
	People   []int32     // index of the population, in the order in which the study names them
	Possible []int32     // 1 where the body can take the posture
	Values   [][]float32 // BodyColumns, then the study's demands: SI, BW, rad; NaN where there is none
}

func newRows(demands, bodies int) *Rows {
	r := &Rows{Body: make([]int32, bodies), People: make([]int32, bodies), Possible: make([]int32, bodies),
		Values: make([][]float32, len(BodyColumns)+demands)}
	for j := range r.Values {
		r.Values[j] = make([]float32, bodies)
	}
	return r
}

// add appends a tile of a crowd's block.
func (r *Rows) add(tile *scenario.Tile, p *point, demands []hold.Demand, of crowdBlock) {
	held, bodies := tile.Second.Result, tile.Second.Bodies
	from, to := r.N, r.N+bodies.Rows()
	r.N = to
	for i, possible := range held.Possible {
		r.Body[from+i], r.People[from+i], r.Possible[from+i] = int32(of.first+tile.From+i), int32(of.part), 0
		if possible {
			r.Possible[from+i] = 1
		}
	}
	for j, c := range BodyColumns {
		column := r.Values[j][from:to]
		for i := range column {
			column[i] = float32(c.Of(bodies, i))
		}
	}
	for d := range demands {
		column := r.Values[len(BodyColumns)+d][from:to]
		for i := range column {
			column[i] = float32(math.NaN())
		}
	}
	for _, d := range p.given {
		column := r.Values[len(BodyColumns)+d][from:to]
		for i, v := range held.Value[demands[d]] {
			if held.Possible[i] {
				column[i] = float32(v)
			}
		}
	}
}

// append encodes the rows, little-endian, column by column.
func (r *Rows) append(b []byte) []byte {
	b = binary.AppendUvarint(b, uint64(r.N))
	for _, column := range [][]int32{r.Body, r.People, r.Possible} {
		for _, v := range column[:r.N] {
			b = binary.LittleEndian.AppendUint32(b, uint32(v))
		}
	}
	for _, column := range r.Values {
		for _, v := range column[:r.N] {
			b = binary.LittleEndian.AppendUint32(b, math.Float32bits(v))
		}
	}
	return b
}

// decode replaces the rows by the encoded ones.
func (r *Rows) decode(data []byte) error {
	n, size := binary.Uvarint(data)
	if size <= 0 || n > uint64(len(r.Body)) || uint64(len(data)-size) != 4*n*uint64(3+len(r.Values)) {
		return errDamaged
	}
	r.N, data = int(n), data[size:]
	next := func() uint32 {
		v := binary.LittleEndian.Uint32(data)
		data = data[4:]
		return v
	}
	for _, column := range [][]int32{r.Body, r.People, r.Possible} {
		for i := range column[:n] {
			column[i] = int32(next())
		}
	}
	for _, column := range r.Values {
		for i := range column[:n] {
			column[i] = math.Float32frombits(next())
		}
	}
	return nil
}
