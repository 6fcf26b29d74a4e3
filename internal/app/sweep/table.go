package sweep

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/app/tables"
	"counterpoise/internal/called"
	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/table"
	"counterpoise/sim/sweep"
)

// tableFormat is a flag for the format of tables.
type tableFormat string

// defaultFormat says where a table comes from, so that it can be repeated.
const defaultFormat = "parquet"

// TableFormats are the formats of tables.
var TableFormats = []string{defaultFormat, "csv", "arrow"}

func (f *tableFormat) String() string { return string(*f) }
func (f *tableFormat) Type() string   { return "format" }
func (f *tableFormat) Set(text string) error {
	if !slices.Contains(TableFormats, text) {
		return fmt.Errorf("unknown format %q%s; known: %s", text, called.Suggest(text, TableFormats), strings.Join(TableFormats, ", "))
	}
	*f = tableFormat(text)
	return nil
}

// tableWriter is a table being written. After Abort, or without Close, nothing
// stands under its name.
type tableWriter interface {
	Write(*table.Block) error
	Close() error
	Abort()
}

// create begins a table. A CSV file has no place for where it comes from; the
// summary beside it says so.
func (f tableFormat) create(path string, columns []table.Column, stamp provenance.Stamp) (tableWriter, error) {
	if f == defaultFormat {
		return tables.Create(path, columns, stamp)
	}
	pairs, err := stamp.KeyValues()
	if err != nil {
		return nil, err
	}
	file, err := provenance.CreateAtomic(path)
	if err != nil {
		return nil, err
	}
	if f == "csv" {
		w := table.NewCSVWriter(file, columns)
		return &fileTable{file, w.Write, w.Flush}, nil
	}
	w, err := table.NewArrowWriter(file, columns, pairs)
	if err != nil {
		file.Close()
		return nil, err
	}
	return &fileTable{file, w.Write, w.Close}, nil
}

// fileTable is a table in a file that appears when it is complete.
type fileTable struct {
	file  *provenance.AtomicFile
	write func(*table.Block) error
	end   func() error
}

func (t *fileTable) Write(b *table.Block) error { return t.write(b) }

func (t *fileTable) Close() error {
	if err := t.end(); err != nil {
		return err
	}
	return t.file.Commit()
}

func (t *fileTable) Abort() { t.file.Close() } // does nothing after Close

// sweepTable is the table of a sweep: one row a point and statistic.
type sweepTable struct {
	sink  tableWriter
	study *sweep.Study
	block *table.Block
}

// blockRows is how many rows are handed to a file at a time.
const blockRows = 1 << 14

func sweepColumns(s *sweep.Study) []table.Column {
	columns := []table.Column{{Name: "point", Kind: table.Int32, Description: "number of the point, counted from 0"}}
	for i := range s.Axes {
		columns = append(columns, axisColumn(&s.Axes[i]))
	}
	columns = append(columns,
		table.Column{Name: "bodies_count", Kind: table.Int64, Description: "bodies held up at the point, the same ones at every point"},
		table.Column{Name: "possible_count", Kind: table.Int64, Description: "of them, those that can take the posture; the statistics are theirs"},
		table.Column{Name: "statistic", Kind: table.Text, Description: "mean, sd (standard deviation) or a quantile over bodies: p5 is the value that 5 % of them do not exceed"})
	return append(columns, demandColumns(s)...)
}

// axisColumn describes the column of an axis.
func axisColumn(a *sweep.Axis) table.Column {
	c := table.Column{Name: strings.ReplaceAll(a.Of, ".", "_"), Kind: table.Text, Description: "axis: " + AxisMeaning(a)}
	if a.Named() {
		return c
	}
	c.Kind = table.Float32
	_, c.Unit = AxisScale(a)
	if ending := map[string]string{"m": "_m", "kg": "_kg", "deg": "_deg", "%": "_percent"}[c.Unit]; ending != "" {
		c.Name += ending
	}
	return c
}

func demandColumns(s *sweep.Study) []table.Column {
	var columns []table.Column
	for _, d := range s.Demands {
		suffix, unit := outcome.ColumnUnit(d)
		columns = append(columns, table.Column{Name: d.String() + suffix, Unit: unit, Missing: true,
			Description: d.Meaning + "; missing where the hold or model does not give it, or nobody can take the posture"})
	}
	return columns
}

func newSweepTable(s *sweep.Study, format tableFormat, path string, stamp provenance.Stamp) (*sweepTable, error) {
	columns := sweepColumns(s)
	sink, err := format.create(path, columns, stamp)
	if err != nil {
		return nil, err
	}
	t := &sweepTable{sink: sink, study: s, block: table.NewBlock(columns, blockRows)}
	t.block.Rows = 0
	return t, nil
}

// add appends the rows of a point.
func (t *sweepTable) add(p *sweep.Point) error {
	s, b := t.study, t.block
	for row := range s.NumStatistics() {
		if b.Rows == blockRows {
			if err := t.flush(); err != nil {
				return err
			}
		}
		i := b.Rows
		b.Rows++
		b.Int32[0][i] = int32(p.Index)
		j := 1
		for k, x := range p.Coordinates {
			if a := &s.Axes[k]; a.Named() {
				b.Text[j][i] = a.Names[int(x)]
			} else {
				factor, _ := AxisScale(a)
				b.Float32[j][i] = float32(x * factor)
			}
			j++
		}
		b.Int64[j][i], b.Int64[j+1][i], b.Text[j+2][i] = p.Bodies, p.Possible, s.Statistic(row)
		j += 3
		for d := range s.Demands {
			b.Float32[j+d][i] = float32(p.Statistics[row][d] * demandScale(s, d))
		}
	}
	return nil
}

// demandScale turns a demand into the unit of its column.
func demandScale(s *sweep.Study, d int) float64 {
	if s.Demands[d].Unit == "rad" {
		return 180 / math.Pi
	}
	return 1
}

func (t *sweepTable) flush() error {
	err := t.sink.Write(t.block)
	t.block.Rows = 0
	return err
}

func (t *sweepTable) close() error {
	if err := t.flush(); err != nil {
		return err
	}
	return t.sink.Close()
}

// bodiesTable is the table of every body at every point.
type bodiesTable struct {
	sink  tableWriter
	study *sweep.Study
	block *table.Block
}

func newBodiesTable(s *sweep.Study, format tableFormat, path string, stamp provenance.Stamp) (*bodiesTable, error) {
	columns := []table.Column{
		{Name: "point", Kind: table.Int32, Description: "number of the point, as in the table of the sweep"},
		{Name: "body", Kind: table.Int32, Description: "number of the body: the same person at every point with the same people"},
		{Name: "people", Kind: table.Int32, Description: "index of the population, in the order in which the study names them"},
		{Name: "possible", Kind: table.Int32, Description: "1 where the body can take the posture, else 0"},
	}
	for _, t := range sweep.BodyColumns {
		columns = append(columns, table.Column{Name: t.Column(), Unit: t.Info().Unit, Description: t.Info().Meaning + ", as changed"})
	}
	columns = append(columns, demandColumns(s)...)
	sink, err := format.create(path, columns, stamp)
	if err != nil {
		return nil, err
	}
	return &bodiesTable{sink, s, table.NewBlock(columns, 0)}, nil
}

// add appends bodies.
func (t *bodiesTable) add(r *sweep.Rows) error {
	b := t.block
	b.Rows = r.N
	if len(b.Int32[0]) < r.N {
		b.Int32[0] = make([]int32, r.N)
	}
	for i := range r.N {
		b.Int32[0][i] = int32(r.Point)
	}
	b.Int32[1], b.Int32[2], b.Int32[3] = r.Body, r.People, r.Possible
	for j, values := range r.Values {
		b.Float32[4+j] = values
		if d := j - len(sweep.BodyColumns); d >= 0 {
			if scale := demandScale(t.study, d); scale != 1 {
				for i := range values[:r.N] {
					values[i] = float32(float64(values[i]) * scale)
				}
			}
		}
	}
	return t.sink.Write(b)
}
