package drivers

import (
	"context"
	"fmt"
	"strings"

	"counterpoise/internal/app/tables"
	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/table"
	"counterpoise/internal/words"
	"counterpoise/sim/assume"
	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario/scores"
)

// A designWriter writes the rows that a method evaluated, with their responses. A nil
// one only runs the method.
type designWriter struct {
	path     string
	stamp    provenance.Stamp
	function *scores.Function
	allRows  bool // mixed rows too
	uniform  bool // the inputs are shares of their ranges

	writer  *table.Writer
	columns []table.Column
	block   *table.Block
	in      [][]float64 // as the function has them
	values  [][]float64
}

// designRows is how many rows are written at a time, at least as many as a sample
// has.
const designRows = 1 << 12

// run runs a method and writes its rows.
func (w *designWriter) run(o drivers.Options, method func(drivers.Options) (*drivers.Result, error)) (*drivers.Result, error) {
	if w == nil {
		return method(o)
	}
	if err := w.create(); err != nil {
		return nil, err
	}
	defer w.writer.Abort() // does nothing after Close
	o.Sink = w.add
	r, err := method(o)
	if err != nil {
		return nil, err
	}
	return r, w.writer.Close()
}

// screen runs elementary effects.
func (w *designWriter) screen(ctx context.Context, f *scores.Function, of *Study) (*Screening, error) {
	ranges, model := f.Ranges()
	options := drivers.MorrisOptions{Seed: of.seed, Trajectories: screenTrajectories, Workers: of.workers}
	if w != nil {
		w.uniform, w.allRows = true, true
		if err := w.create(); err != nil {
			return nil, err
		}
		defer w.writer.Abort()
		options.Sink = w.add
	}
	effects, n, err := drivers.Morris(ctx, ranges, model, options)
	if err != nil {
		return nil, err
	}
	if w != nil {
		if err := w.writer.Close(); err != nil {
			return nil, err
		}
	}
	return &Screening{Effects: effects, Evaluations: n}, nil
}

// screenTrajectories is how many trajectories are walked: so many that μ* is known
// to a few per cent.
const screenTrajectories = 256

// create begins the table.
func (w *designWriter) create() error {
	w.columns = []table.Column{
		{Name: "replicate", Kind: table.Int32, Description: "number of the independent replicate"},
		{Name: "row", Kind: table.Int32, Description: "number of the row within its replicate"},
		{Name: "second_sample", Kind: table.Int32, Description: "1 if the kept groups are those of the replicate's second sample, 0 if of its base"},
		{Name: "kept_groups", Kind: table.Int32, Description: "sum of 2^k over the groups kept, the others being drawn anew given these; groups from 0: " + w.groupNames()},
	}
	for _, i := range w.function.Inputs() {
		c := table.Column{Name: i.Column, Unit: i.Unit, Description: i.Description}
		if id, ok := assume.Parse(i.Name); ok {
			c.Description += ", " + words.AssumptionUnit(id)
		}
		w.columns = append(w.columns, c)
	}
	of := w.function.Study().Of
	ending, unit := outcome.ColumnUnit(of)
	w.columns = append(w.columns, table.Column{Name: of.String() + ending, Unit: unit, Description: "response: " + of.Meaning})
	w.block = table.NewBlock(w.columns, designRows)
	w.in, w.values = make([][]float64, len(w.function.Inputs())), make([][]float64, len(w.function.Inputs()))
	var err error
	w.writer, err = tables.Create(w.path, w.columns, w.stamp)
	return err
}

func (w *designWriter) groupNames() string {
	return strings.Join(names.Each(w.function.Groups(), func(g drivers.Group) string { return g.Name }), ", ")
}

// add writes a sample's rows, of mixed ones only if they are wanted.
func (w *designWriter) add(s drivers.Sample) error {
	kept := 0
	whole := true
	for k, keep := range s.Kept {
		whole = whole && keep
		if keep && k < 31 {
			kept |= 1 << k
		}
	}
	if !w.allRows && !whole {
		return nil
	}
	n := len(s.Response)
	for from := 0; from < n; from += designRows {
		rows := min(designRows, n-from)
		w.fill(s, from, rows)
		b := w.block
		b.Rows = rows
		for i := range rows {
			b.Int32[0][i], b.Int32[1][i], b.Int32[2][i], b.Int32[3][i] = int32(s.Replicate), int32(s.First+from+i), 0, int32(kept)
			if s.Second {
				b.Int32[2][i] = 1
			}
		}
		for j, column := range w.values {
			for i, v := range column[:rows] {
				b.Float32[4+j][i] = float32(v)
			}
		}
		for i, y := range s.Response[from : from+rows] {
			b.Float32[len(w.columns)-1][i] = float32(y)
		}
		if err := w.writer.Write(b); err != nil {
			return err
		}
	}
	return nil
}

// fill computes the values of some rows.
func (w *designWriter) fill(s drivers.Sample, from, rows int) {
	offset := len(w.in) - len(s.Inputs) // columns of the median body
	for j := range w.in {
		if cap(w.values[j]) < rows {
			w.values[j] = make([]float64, designRows)
		}
		w.values[j] = w.values[j][:rows]
		if j < offset {
			w.in[j] = make([]float64, rows)
			continue
		}
		w.in[j] = s.Inputs[j-offset][from : from+rows]
	}
	w.function.Values(w.values, w.in, w.uniform)
	for j, input := range w.function.Inputs() {
		if id, ok := assume.Parse(input.Name); ok {
			for i, x := range w.values[j] {
				w.values[j][i] = words.AssumptionTold(id, x)
			}
		}
	}
}

// writeSplit writes the draws of the assumptions and what each makes of the people.
func writeSplit(path string, p *DriversPart, of hold.Demand, stamp provenance.Stamp) error {
	draws := p.Split.Draws
	ending, unit := outcome.ColumnUnit(of)
	var c tables.Columns
	add := func(column table.Column, value func(*scores.Draw) float64) {
		c.Add(column, func(i int) float64 { return value(&draws[i]) })
	}
	for _, id := range p.Function.Free() {
		add(table.Column{Name: id.String(), Description: id.Info().Meaning + ", " + words.AssumptionUnit(id)}, func(d *scores.Draw) float64 { return words.AssumptionTold(id, d.Assumptions[id]) })
	}
	for _, q := range []struct {
		name, says string
		of         func(*scores.Draw) float64
	}{
		{"mean", "mean", func(d *scores.Draw) float64 { return d.Mean }},
		{"deviation", "standard deviation", func(d *scores.Draw) float64 { return d.Deviation }},
		{"p5", "5 % point", func(d *scores.Draw) float64 { return d.P5 }},
		{"p50", "median", func(d *scores.Draw) float64 { return d.P50 }},
		{"p95", "95 % point", func(d *scores.Draw) float64 { return d.P95 }},
	} {
		add(table.Column{Name: of.String() + "_" + q.name + ending, Unit: unit, Description: fmt.Sprintf("%s over %d people of: %s", q.says, p.Split.Bodies, of.Meaning)}, q.of)
	}
	add(table.Column{Name: "impossible_count", Description: "people who cannot take the posture under this draw, left out"}, func(d *scores.Draw) float64 { return float64(d.Impossible) })
	return c.Write(path, len(draws), stamp)
}
