package table

// A group is a row group as it fills: floats become pages at once, the few other
// columns are gathered.
type group struct {
	rows, capacity int
	pages          []*floatPage // one for a column of floats without dictionary, else nil
	others         *Block       // the columns that have no page
}

func newGroup(columns []Column) *group {
	g := &group{pages: make([]*floatPage, len(columns)), others: NewBlock(columns, 0)}
	for i, c := range columns {
		if c.Kind == Float32 && !c.Dictionary {
			g.pages[i] = &floatPage{}
		}
	}
	return g
}

// begin makes ready for so many rows.
func (g *group) begin(columns []Column, capacity int) {
	g.capacity = capacity
	for i, c := range columns {
		switch {
		case g.pages[i] != nil:
			g.pages[i].begin(capacity)
		case c.Kind == Float32:
			g.others.Float32[i] = g.others.Float32[i][:0]
		case c.Kind == Int32:
			g.others.Int32[i] = g.others.Int32[i][:0]
		case c.Kind == Int64:
			g.others.Int64[i] = g.others.Int64[i][:0]
		case c.Kind == Text:
			g.others.Text[i] = g.others.Text[i][:0]
		}
	}
}

// add appends rows of b.
func (g *group) add(columns []Column, b *Block, from, n int) {
	for i, c := range columns {
		switch {
		case g.pages[i] != nil:
			g.pages[i].add(b.Float32[i][from : from+n])
		case c.Kind == Float32:
			g.others.Float32[i] = append(g.others.Float32[i], b.Float32[i][from:from+n]...)
		case c.Kind == Int32:
			g.others.Int32[i] = append(g.others.Int32[i], b.Int32[i][from:from+n]...)
		case c.Kind == Int64:
			g.others.Int64[i] = append(g.others.Int64[i], b.Int64[i][from:from+n]...)
		case c.Kind == Text:
			g.others.Text[i] = append(g.others.Text[i], b.Text[i][from:from+n]...)
		}
	}
	g.rows += n
}
