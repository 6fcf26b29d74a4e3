package chart

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/draw"
	"counterpoise/internal/words"
	"counterpoise/sim/names"
)

// An OverviewMark is a verdict: a mark that tells it apart without colour, and its word.
// An empty one is of what was not asked.
type OverviewMark struct{ Mark, Word string }

// OverviewPeople are those of a column: their kind, with which neighbours of the same kind
// share a heading, who of them, in a letter, and their name for the description.
type OverviewPeople struct{ Kind, One, Name string }

// An OverviewRow is one claim.
type OverviewRow struct {
	Group   string         // heading above the first of neighbouring rows that share it; may be empty
	Label   string         // the claim's sentence
	Verdict OverviewMark   // over all
	Effect  string         // in few words, from where to where, such as "7.3 to 9 % harder"
	Also    string         // what else must be told, lest it mislead; may be empty
	Whom    []OverviewMark // in the order of the people

	// Bars are the effects in per cent, from where to where with the middle, of each of whom Effect
	// tells, and TooSmall half the width of the zone around nothing; without bars where they have
	// another unit.
	Bars     []OverviewBar
	TooSmall float64
	Whose    []string   // of each bar, where there are several; may be empty
	Said     [2]float64 // from where to where an effect counts as what the saying promises; both 0 where it promises none
}

// An OverviewBar is from where to where an effect lies, and its middle, NaN where there is none.
type OverviewBar struct{ Low, Middle, High float64 }

// An Overview is a matrix of claims, a row each: the saying, what came out, how large the
// effect is and for whom. Rows have a height of their own: what does not fit is divided, by
// group where that will do, or, if Tall, on a page of A4 or as high as it must be.
type Overview struct {
	Title  string
	People []OverviewPeople // for whom it was asked; empty where it was not
	Key    string           // what the columns of people are; may be empty
	Marks  []OverviewMark   // what every mark means
	Rows   []OverviewRow
	Tall   bool // on one page
	Foot   draw.Foot

	axis   [2]float64 // of all bars, of a part of a figure; both 0: as the rows say
	inline bool       // nothing bounds its height
	of     int        // rows of the whole that it is a part of
}

// Heading implements draw.Figure.
func (o Overview) Heading() (string, draw.Foot) { return o.Title, o.Foot }

// TypeShare implements dense: the more rows there are in all, the smaller the type.
func (o Overview) TypeShare() float64 {
	switch n := max(o.of, len(o.Rows)); {
	case o.inline:
		return 1
	case n > 3 && o.brief():
		return 0.92
	case n <= 12:
		return 1
	case n <= 30:
		return 0.8
	}
	return 0.74
}

// Alt implements Figure.
func (o Overview) Alt() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Table of claims. %s", o.key())
	group := ""
	for _, r := range o.Rows {
		if r.Group != group {
			group = r.Group
			fmt.Fprintf(&b, " %s.", group)
		}
		fmt.Fprintf(&b, " %s: %s", strings.TrimSuffix(r.Label, "."), r.Verdict.Word)
		if r.Effect != "" {
			b.WriteString(", " + r.Effect)
		}
		if r.Also != "" {
			b.WriteString("; " + strings.TrimSuffix(r.Also, "."))
		}
		verdicts, who := o.byVerdict(r)
		for _, v := range verdicts {
			fmt.Fprintf(&b, "; %s for %s", v, words.And(who[v]))
		}
		b.WriteString(".")
	}
	return draw.Described(o, &b)
}

// Check implements draw.Figure.
func (o Overview) Check() error {
	if len(o.Rows) == 0 {
		return errors.New("chart: overview: there is no row")
	}
	for _, r := range o.Rows {
		if r.Label == "" || r.Verdict.Word == "" {
			return errors.New("chart: overview: a row has no label or no verdict")
		}
		for _, m := range append(slices.Clone(r.Whom), r.Verdict) {
			if m.Mark != "" && len(o.Marks) > 0 && !slices.ContainsFunc(o.Marks, func(key OverviewMark) bool { return key.Mark == m.Mark }) {
				return fmt.Errorf("chart: overview: %s: nothing says what %q means", r.Label, m.Mark)
			}
		}
		for _, bar := range r.Bars {
			if !draw.Drawable(bar.Low, bar.High) || bar.Low > bar.High || bar.Middle < bar.Low || bar.Middle > bar.High || r.TooSmall <= 0 {
				return draw.Wrong("overview", "%s: a bar of %v, within %v", r.Label, bar, r.TooSmall)
			}
		}
		if !draw.Drawable(r.Said[:]...) || r.Said[0] > r.Said[1] {
			return draw.Wrong("overview", "%s: %v counts as said", r.Label, r.Said)
		}
		if len(r.Whom) != len(o.People) {
			return fmt.Errorf("chart: overview: %s: %d marks for %d kinds of people", r.Label, len(r.Whom), len(o.People))
		}
	}
	for _, p := range o.People {
		if p.Name == "" {
			return errors.New("chart: overview: people have no name")
		}
	}
	return nil
}

// fewRows is of how many rows each tells in words what stands in columns for more.
const fewRows = 8

// brief says whether there are so few rows that words and an axis have room.
func (o Overview) brief() bool { return max(o.of, len(o.Rows)) <= fewRows }

// overviewRow is a row with its text broken into lines, and its height.
type overviewRow struct {
	label, verdict, effect []string
	whom                   []string // for whom what came out, in words
	height                 float64
}

// overviewPlan is how an overview is divided on a size.
type overviewPlan struct {
	stacked                 bool // sayings above the other columns instead of beside them
	under                   bool // what came out under the saying, the bars beside both
	labels, verdict, effect float64
	at                      struct{ verdict, effect float64 } // left ends
	whom                    []float64                         // middles of the columns of people
	rows                    []overviewRow
	heading, gap            float64 // of a group, and between rows
}

// plan breaks the text of the rows for the width of a sheet.
func (o Overview) plan(s *draw.Sheet) (*overviewPlan, error) {
	size, note := s.Size.Text, s.Size.Note()
	width, gap := s.Body.Width(), 0.9*size
	p := &overviewPlan{heading: draw.LineHeight(1, size) + 0.3*size, gap: 0.28 * size}
	whom := 0.0
	for _, k := range o.columns() {
		// Marks stand close, in the middle under their heading.
		n := float64(k.to - k.from)
		span, each := max(1.45*n*note, draw.TextWidth(o.People[k.from].Kind, false, note)+0.7*note), 1.45*note
		for i := range k.to - k.from {
			p.whom = append(p.whom, whom+span/2+(float64(i)-(n-1)/2)*each)
		}
		whom += span
	}
	for _, r := range o.Rows {
		p.verdict = max(p.verdict, 1.6*note+draw.TextWidth(r.Verdict.Word, true, note))
		p.effect = max(p.effect, draw.TextWidth(r.Effect, false, note))
	}
	if o.brief() {
		p.verdict, p.effect = min(p.verdict, 0.34*width), width
	} else {
		p.verdict, p.effect = min(p.verdict, 0.24*width), min(p.effect, 0.2*width)
	}
	p.labels = width - whom - p.verdict - p.effect - 3*gap
	if p.under = o.brief() && s.Wide(); p.under {
		p.labels = 0.45 * width
		p.verdict, p.effect = p.labels, width-p.labels-gap
	} else if p.stacked = p.labels < 15*size; p.stacked {
		// The other columns share a line of their own.
		if p.labels = width; !o.brief() {
			p.verdict = max(0.3*(width-whom), min(p.verdict, width-whom-p.effect-2*gap))
		}
		p.effect = width - whom - p.verdict - 2*gap
		if p.effect < 4*note {
			return nil, fmt.Errorf("chart: overview: marks and numbers leave no room on the %s", s.Size.Name)
		}
	}
	for i := range p.whom {
		p.whom[i] += s.Body.X1 - whom
	}
	p.at.effect = s.Body.X1 - whom - gap - p.effect
	if p.at.verdict = p.at.effect - gap - p.verdict; p.under {
		p.at.effect, p.at.verdict = s.Body.X1-p.effect, s.Body.X0
	}
	for _, r := range o.Rows {
		var row overviewRow
		for _, text := range []struct {
			into  *[]string
			text  string
			bold  bool
			size  float64
			width float64
		}{
			{&row.label, strings.TrimSuffix(r.Label, "."), false, size, p.labels},
			{&row.verdict, r.Verdict.Word, true, note, p.verdict - 1.5*note},
			{&row.effect, r.Effect, false, note, p.effect},
			{&row.whom, o.inWords(r), false, note, width},
		} {
			lines, err := s.Wrap(text.text, text.bold, text.size, text.width)
			if err != nil {
				return nil, err
			}
			*text.into = lines
		}
		label, verdict, effect := draw.LineHeight(len(row.label), size), max(draw.LineHeight(len(row.verdict), note), 1.3*note), draw.LineHeight(len(row.effect), note)+o.barsHeight(r, s)
		switch {
		case p.under:
			row.height = max(label+0.15*size+verdict, effect)
		case p.stacked:
			row.height = label + 0.15*size + max(verdict, effect)
		default:
			row.height = max(label, verdict, effect)
		}
		if len(row.whom) > 0 {
			row.height += draw.LineHeight(len(row.whom), note) + 0.25*note
		}
		p.rows = append(p.rows, row)
	}
	return p, nil
}

// columns are the columns of people that share a heading: none where words tell of them.
func (o Overview) columns() []span {
	if o.brief() {
		return nil
	}
	return o.kinds()
}

// inWords says what else must be told, and for whom what came out, where there are few rows.
func (o Overview) inWords(r OverviewRow) string {
	if !o.brief() {
		return ""
	}
	verdicts, who := o.byVerdict(r)
	if len(verdicts) == 0 || len(verdicts) == 1 && len(who[verdicts[0]]) == len(o.People) {
		return r.Also // not asked, or as the key says
	}
	var parts []string
	for _, v := range verdicts {
		parts = append(parts, v+" for "+words.And(who[v]))
	}
	return strings.TrimSpace(r.Also + " " + words.Capital(strings.Join(parts, "; ")) + ".")
}

// byVerdict are the words of the verdicts of a row, and the people of each.
func (o Overview) byVerdict(r OverviewRow) (verdicts []string, who map[string][]string) {
	who = map[string][]string{}
	for k, w := range r.Whom {
		if w.Word == "" {
			continue
		}
		if who[w.Word] == nil {
			verdicts = append(verdicts, w.Word)
		}
		who[w.Word] = append(who[w.Word], o.People[k].Name)
	}
	return verdicts, who
}

// barsHeight is the height of a row's bars under what they tell.
func (o Overview) barsHeight(r OverviewRow, s *draw.Sheet) float64 {
	if len(r.Bars) == 0 {
		return 0
	}
	note := s.Size.Note()
	return 0.15*note + (0.15*note+o.thick(s))*float64(len(r.Bars))
}

// thick is how thick a bar is: where there are few rows as high as whose it is.
func (o Overview) thick(s *draw.Sheet) float64 {
	if o.brief() {
		return draw.LineHeight(1, whoseSize(s))
	}
	return 0.45 * s.Size.Note()
}

// whoseSize is the size of type in which a bar's people stand beside it.
func whoseSize(s *draw.Sheet) float64 { return max(0.8*s.Size.Note(), s.Size.Least) }

// scale is that of the bars.
func (o Overview) scale(p *overviewPlan) draw.Scale {
	low, high := o.ends()
	return draw.Scale{Low: low, High: high, From: p.at.effect, To: p.at.effect + p.effect}
}

// drawAxis draws what the bars are read by, above them, and returns where the rows may begin.
func (o Overview) drawAxis(s *draw.Sheet, p *overviewPlan, y float64) float64 {
	note, x := s.Size.Note(), o.scale(p)
	if !slices.ContainsFunc(o.Rows, func(r OverviewRow) bool { return r.Bars != nil }) {
		return y
	}
	base := y + draw.Ascent*note
	s.Text("what came out", p.at.verdict, base, draw.AlignLeft, false, note, s.Theme.Muted)
	end := x.From
	ticks, decimals := draw.Ticks(x.Low, x.High, 6)
	for _, v := range ticks {
		text := words.WithUnit(words.Number(v, decimals), "%")
		wide := draw.TextWidth(text, false, note)
		left := min(max(x.At(v)-wide/2, x.From), x.To-wide)
		if left < end {
			continue
		}
		s.Text(text, left, base, draw.AlignLeft, false, note, s.Theme.Muted)
		s.Stroke(s.Theme.Muted, s.Size.Thin, nil, draw.Point{X: x.At(v), Y: base + 0.3*note}, draw.Point{X: x.At(v), Y: base + 0.65*note})
		end = left + wide + 0.5*note
	}
	return y + draw.LineHeight(1, note) + 0.6*note
}

// drawBars draws a row's bars from top down, on the scale of all rows.
func (o Overview) drawBars(s *draw.Sheet, p *overviewPlan, r OverviewRow, top float64) {
	low, high := o.ends()
	x, note, thick := o.scale(p), s.Size.Note(), o.thick(s)
	zone := Zone{TooSmall: r.TooSmall}
	if r.Said[0] < r.Said[1] {
		height := 0.15*note + o.barsHeight(r, s)
		s.FillRect(draw.Mix(s.Theme.Background, s.Theme.After, 0.16), draw.Rect{X0: x.At(max(r.Said[0], low)), Y0: top, X1: x.At(min(r.Said[1], high)), Y1: top + height})
	}
	for k, bar := range r.Bars {
		top += 0.15 * note
		from, to := min(max(bar.Low, low), high), max(min(bar.High, high), low)
		zone.drawRange(s, x, from, to, top, top+thick)
		if o.brief() && bar.Middle >= low && bar.Middle <= high {
			at := draw.Point{X: x.At(bar.Middle), Y: top + thick/2}
			s.Disc(s.Theme.Background, at, 0.42*thick)
			s.Disc(s.Theme.Ink, at, 0.28*thick)
		}
		if size := whoseSize(s); o.brief() && k < len(r.Whose) {
			base, wide := top+thick/2+0.35*size, draw.TextWidth(r.Whose[k], false, size)+0.3*note
			if at := x.At(min(from, 0)); at-wide > x.From {
				s.Text(r.Whose[k], at-0.3*note, base, draw.AlignRight, false, size, s.Theme.Muted)
			} else if at := x.At(max(to, 0)); at+wide < x.To {
				s.Text(r.Whose[k], at+0.3*note, base, draw.AlignLeft, false, size, s.Theme.Muted)
			}
		}
		top += thick
	}
	if n := float64(len(r.Bars)); n > 0 {
		s.Stroke(s.Theme.Ink, 0.7*s.Size.Thin, nil, draw.Point{X: x.At(0), Y: top - (0.15*note+thick)*n + 0.05*note}, draw.Point{X: x.At(0), Y: top + 0.1*note})
	}
}

// mostShown is where bars end, in per cent, lest one makes all others small.
const mostShown = 100

// ends are those of all bars, and nothing within.
func (o Overview) ends() (low, high float64) {
	if o.axis[0] < o.axis[1] {
		return o.axis[0], o.axis[1]
	}
	for _, r := range o.Rows {
		for _, bar := range r.Bars {
			low, high = max(min(low, bar.Low), -mostShown), min(max(high, bar.High), mostShown)
		}
		if r.Bars != nil {
			low, high = max(min(low, r.Said[0]), -mostShown), min(max(high, r.Said[1]), mostShown)
		}
	}
	if low == high {
		high = 1
	}
	if o.brief() {
		pad := 0.02 * (high - low)
		low, high = low-pad, high+pad
	}
	return low, high
}

// span is a run of neighbours.
type span struct{ from, to int }

// runsOf are the runs of n neighbours of which none is different from the one before it.
func runsOf(n int, differs func(i int) bool) (runs []span) {
	for i := range n {
		if i == 0 || differs(i) {
			runs = append(runs, span{i, i})
		}
		runs[len(runs)-1].to = i + 1
	}
	return runs
}

// kinds are the columns that share a heading.
func (o Overview) kinds() []span {
	return runsOf(len(o.People), func(i int) bool { return o.People[i].Kind != o.People[i-1].Kind })
}

// needed is the height of all rows with their headings.
func (p *overviewPlan) needed(o Overview) float64 {
	height := 0.0
	for i, r := range p.rows {
		height += r.height + p.gap
		if o.startsGroup(i) {
			height += p.heading
		}
	}
	return height
}

func (o Overview) startsGroup(i int) bool {
	return !o.brief() && o.Rows[i].Group != "" && (i == 0 || o.Rows[i-1].Group != o.Rows[i].Group)
}

// Unbounded is the overview told that nothing bounds its height.
func (o Overview) Unbounded() draw.Figure {
	o.inline = true
	return o
}

// NaturalHeight is that at which the rows stand at their own height.
func (o Overview) NaturalHeight(size draw.Size, loose bool) (float64, error) {
	s := &draw.Sheet{Size: size, Theme: draw.Light, Loose: loose}
	s.Body = draw.Rect{X0: 0, Y0: 0, X1: size.Width, Y1: size.Height}.Grow(-size.Margin)
	if err := s.LayTitle(o.Title); err != nil {
		return 0, err
	}
	line, err := o.Foot.Line()
	if err != nil {
		return 0, err
	}
	lines, err := s.Balance(line, false, size.Small, s.Body.Width())
	if err != nil {
		return 0, err
	}
	p, err := o.plan(s)
	if err != nil {
		return 0, err
	}
	top, err := o.drawHead(s, p)
	if err != nil {
		return 0, err
	}
	return math.Ceil(top + p.needed(o) + draw.LineHeight(len(lines), size.Small) + size.Text + size.Margin + 1), nil
}

// key says what the columns of people are, and the bars, as far as an axis does not.
func (o Overview) key() string {
	key := o.Key
	if o.brief() {
		if key = ""; len(o.People) > 0 {
			key = "The same, where nothing else is said, for " + words.And(names.Each(o.People, func(p OverviewPeople) string { return p.Name })) + "."
		}
	}
	if slices.ContainsFunc(o.Rows, func(r OverviewRow) bool { return r.Bars != nil }) {
		key += " Bars: for the middle person, 9 in 10 tries of what nobody has measured"
		if o.brief() {
			key += ", dots the middle one; grey: too small to matter"
		} else {
			key += "; grey: too small to matter; all to one scale; the line through them is no change"
		}
		key += "."
	}
	if slices.ContainsFunc(o.Rows, func(r OverviewRow) bool { return r.Bars != nil && r.Said[0] < r.Said[1] }) {
		key += " Shaded: what counts as said."
	}
	return strings.TrimSpace(key)
}

// drawHead draws the key and the headings of the columns, and returns where the rows may
// begin.
func (o Overview) drawHead(s *draw.Sheet, p *overviewPlan) (float64, error) {
	note, t, y := s.Size.Note(), s.Theme, s.Body.Y0
	if key := o.key(); key != "" {
		var err error
		if y, err = s.Paragraph(key, y, note); err != nil {
			return 0, err
		}
		y += 0.5 * note
	}
	if o.brief() {
		return o.drawAxis(s, p, y), nil
	}
	y = o.drawMarks(s, y)
	base := y + (draw.Ascent+draw.Leading)*note
	head := func(text string, x, align float64) { s.Text(text, x, base, align, false, note, t.Muted) }
	head("what came out", p.at.verdict, draw.AlignLeft)
	if draw.TextWidth("how much", false, note) <= p.effect {
		head("how much", p.at.effect, draw.AlignLeft)
	}
	if left := s.Body.X0 + 1.5*note; len(p.whom) > 0 {
		edge := p.whom[0] - max(1.45*note, draw.TextWidth(o.People[0].Kind, false, note)+0.7*note)/2 - 0.4*note
		if whom := "for whom:"; edge-draw.TextWidth(whom, false, note) > left {
			s.Text(whom, edge, y+draw.Ascent*note, draw.AlignRight, false, note, t.Muted)
		}
	}
	for _, k := range o.columns() {
		middle := (p.whom[k.from] + p.whom[k.to-1]) / 2
		s.Text(o.People[k.from].Kind, middle, y+draw.Ascent*note, draw.AlignCenter, false, note, t.Muted)
		for i := k.from; i < k.to; i++ {
			head(o.People[i].One, p.whom[i], draw.AlignCenter)
		}
	}
	return y + draw.LineHeight(2, note) + 0.3*note, nil
}

// drawMarks says what every mark means, in as many lines as that takes, and returns where they end.
func (o Overview) drawMarks(s *draw.Sheet, y float64) float64 {
	note, x := s.Size.Note(), s.Body.X0
	for i, m := range o.Marks {
		width := 1.5*note + draw.TextWidth(m.Word, false, note)
		if i > 0 && x+width > s.Body.X1 {
			x, y = s.Body.X0, y+draw.LineHeight(1, note)+0.25*note
		}
		drawVerdict(s, m.Mark, draw.Point{X: x + 0.55*note, Y: y + draw.LineHeight(1, note)/2}, 0.48*note)
		s.Text(m.Word, x+1.5*note, y+draw.Ascent*note, draw.AlignLeft, false, note, s.Theme.Muted)
		x += width + 1.4*note
	}
	if len(o.Marks) > 0 {
		y += draw.LineHeight(1, note) + 0.7*note
	}
	return y
}

// Draw implements draw.Figure.
func (o Overview) Draw(s *draw.Sheet) error {
	size, note, t := s.Size.Text, s.Size.Note(), s.Theme
	p, err := o.plan(s)
	if err != nil {
		return err
	}
	y, err := o.drawHead(s, p)
	if err != nil {
		return err
	}
	spare := s.Body.Y1 - y - p.needed(o)
	if spare < 0 {
		return fmt.Errorf("chart: overview: %d rows do not fit on the %s", len(o.Rows), s.Size.Name)
	}
	p.gap += min(spare/float64(len(o.Rows)), 1.2*size)
	for i, r := range o.Rows {
		if o.startsGroup(i) {
			if draw.TextWidth(r.Group, true, size) > s.Body.Width() {
				return fmt.Errorf("chart: no room on the %s for the heading %q", s.Size.Name, r.Group)
			}
			s.Text(r.Group, s.Body.X0, y+0.25*size+draw.Ascent*size, draw.AlignLeft, true, size, t.Ink)
			y += p.heading
		}
		s.Stroke(t.Grid, s.Size.Thin, nil, draw.Point{X: s.Body.X0, Y: y}, draw.Point{X: s.Body.X1, Y: y})
		row := &p.rows[i]
		label, middle := y+p.gap/2, y+(p.gap+row.height)/2
		if len(row.whom) > 0 {
			middle -= (draw.LineHeight(len(row.whom), note) + 0.25*note) / 2
		}
		high, verdict := draw.LineHeight(len(row.label), size), middle
		switch {
		case p.under:
			verdict = label + high + 0.15*size + draw.LineHeight(len(row.verdict), note)/2
		case p.stacked:
			middle += (high + 0.15*size) / 2
			verdict = middle
		default:
			label = middle - high/2
		}
		s.Lines(row.label, s.Body.X0, label, draw.AlignLeft, false, size, t.Ink)
		drawVerdict(s, r.Verdict.Mark, draw.Point{X: p.at.verdict + 0.55*note, Y: verdict}, 0.55*note)
		s.Lines(row.verdict, p.at.verdict+1.5*note, verdict-draw.LineHeight(len(row.verdict), note)/2, draw.AlignLeft, true, note, t.Ink)
		effect := middle - (draw.LineHeight(len(row.effect), note)+o.barsHeight(r, s))/2
		s.Lines(row.effect, o.besideBars(p, r, row, note), effect, draw.AlignLeft, false, note, t.Ink)
		o.drawBars(s, p, r, effect+draw.LineHeight(len(row.effect), note))
		if len(row.whom) > 0 {
			s.Lines(row.whom, s.Body.X0, y+p.gap/2+row.height-draw.LineHeight(len(row.whom), note), draw.AlignLeft, false, note, t.Muted)
		} else if len(p.whom) > 0 {
			o.drawWhom(s, p, r.Whom, middle)
		}
		y += row.height + p.gap
	}
	return nil
}

// besideBars is where what is told of a row's bars begins: over their middle, where there are few
// rows and it is one line.
func (o Overview) besideBars(p *overviewPlan, r OverviewRow, row *overviewRow, note float64) float64 {
	if !o.brief() || len(row.effect) != 1 || len(r.Bars) == 0 {
		return p.at.effect
	}
	x, low, high := o.scale(p), r.Bars[0].Low, r.Bars[0].High
	for _, bar := range r.Bars {
		low, high = min(low, bar.Low), max(high, bar.High)
	}
	wide := draw.TextWidth(row.effect[0], false, note)
	return min(max((x.Clamp(low)+x.Clamp(high)-wide)/2, x.From), x.To-wide)
}

// everybody stands beside the one mark of a row for all columns of people.
const everybody = "the same for all"

// drawWhom draws the marks of a row, at a height: one for neighbours of a kind that share it, and one
// for all where it is everybody's.
func (o Overview) drawWhom(s *draw.Sheet, p *overviewPlan, marks []OverviewMark, y float64) {
	note := s.Size.Note()
	alike := func(from, to int) bool {
		return marks[from].Mark != "" && !slices.ContainsFunc(marks[from:to], func(m OverviewMark) bool { return m.Mark != marks[from].Mark })
	}
	if n := len(marks); n > 2 && alike(0, n) {
		wide := 1.5*note + draw.TextWidth(everybody, false, note)
		left := max((p.whom[0]+p.whom[n-1])/2-wide/2, p.whom[0])
		if left+wide <= s.Body.X1 {
			drawVerdict(s, marks[0].Mark, draw.Point{X: left + 0.55*note, Y: y}, 0.48*note)
			s.Text(everybody, left+1.5*note, y+0.35*note, draw.AlignLeft, false, note, s.Theme.Muted)
			return
		}
	}
	for _, k := range o.kinds() {
		if alike(k.from, k.to) {
			drawVerdict(s, marks[k.from].Mark, draw.Point{X: (p.whom[k.from] + p.whom[k.to-1]) / 2, Y: y}, 0.48*note)
			continue
		}
		for i := k.from; i < k.to; i++ {
			drawVerdict(s, marks[i].Mark, draw.Point{X: p.whom[i], Y: y}, 0.48*note)
		}
	}
}

// verdict draws the mark of a verdict: a tick on a disc, a cross on a square, and what
// decides nothing in a ring, by default a question mark.
func drawVerdict(s *draw.Sheet, mark string, at draw.Point, radius float64) {
	t, width := s.Theme, 0.26*radius
	ink := t.Background
	line := func(c ...float64) {
		var points []draw.Point
		for i := 0; i < len(c); i += 2 {
			points = append(points, draw.Point{X: at.X + c[i]*radius, Y: at.Y + c[i+1]*radius})
		}
		s.Stroke(ink, width, nil, points...)
	}
	switch mark {
	case "":
	case "✓", "✓+", "✓−", "(✓)":
		// Full where a saying is true as it stands, hollow where it promises too much.
		s.Disc(t.Below, at, radius)
		if mark == "✓" {
			line(-0.5, 0.02, -0.12, 0.42, 0.52, -0.4)
			return
		}
		if mark != "✓+" {
			s.Disc(t.Background, at, radius-0.7*width)
			ink = t.Below
		} else {
			line(0, 0.26, 0, 0.78)
		}
		if line(-0.45, -0.22, -0.12, 0.12, 0.45, -0.55); mark != "(✓)" {
			line(-0.28, 0.52, 0.28, 0.52)
		}
	case "✗":
		box := draw.Rect{X0: at.X - 0.92*radius, Y0: at.Y - 0.92*radius, X1: at.X + 0.92*radius, Y1: at.Y + 0.92*radius}
		s.FillRect(t.After, box)
		line(-0.45, -0.45, 0.45, 0.45)
		line(-0.45, 0.45, 0.45, -0.45)
	case "◐":
		s.Disc(t.Muted, at, radius)
		s.Disc(t.Background, at, radius-0.7*width)
		half := []draw.Point{}
		for k := range 13 {
			sin, cos := math.Sincos(math.Pi / 12 * float64(k))
			half = append(half, draw.Point{X: at.X - (radius-0.7*width)*sin, Y: at.Y - (radius-0.7*width)*cos})
		}
		s.Fill(t.Muted, half...)
	case "–":
		s.Stroke(t.Muted, width, nil, draw.Point{X: at.X - 0.4*radius, Y: at.Y}, draw.Point{X: at.X + 0.4*radius, Y: at.Y})
	case "≈", "=":
		s.Disc(t.Muted, at, radius)
		for _, y := range []float64{-0.24, 0.24} {
			if mark == "=" {
				line(-0.5, y, 0.5, y)
			} else {
				line(-0.55, y+0.1, -0.25, y-0.12, 0.25, y+0.12, 0.55, y-0.1)
			}
		}
	default:
		s.Disc(t.Muted, at, radius)
		s.Disc(t.Background, at, radius-0.7*width)
		ink, width = t.Ink, 0.22*radius
		if mark == "±" {
			line(-0.42, -0.14, 0.42, -0.14)
			line(0, -0.55, 0, 0.27)
			line(-0.42, 0.46, 0.42, 0.46)
			return
		}
		line(-0.3, -0.28, -0.25, -0.46, 0, -0.58, 0.26, -0.46, 0.3, -0.26, 0.2, -0.08, 0.02, 0.06, 0, 0.24)
		s.Disc(ink, draw.Point{X: at.X, Y: at.Y + 0.5*radius}, 0.75*width)
	}
}

// length implements divisible: of what is as high as it must be, nothing is divided.
func (o Overview) Len() int {
	if o.Tall {
		return 1
	}
	return len(o.Rows)
}

// Part is it with some of its parts, on the same axis.
func (o Overview) Part(from, to int) draw.Figure {
	o.of = max(o.of, len(o.Rows))
	o.axis[0], o.axis[1] = o.ends()
	o.Rows = o.Rows[from:to]
	return o
}

// Numbered is the k-th of several, said so in its title where that is not plain.
func (o Overview) Numbered(k, of int) draw.Figure {
	o.Title = draw.NumberedTitle(o.Title, k, of)
	return o
}

// fitting is the size, if the figure is not tall or has room there; else a page of A4 in the
// largest type in which all rows stand on it, and at last one as high as it must be.
func (o Overview) Fitting(size draw.Size, loose bool) (draw.Size, error) {
	if !o.Tall {
		return size, nil
	}
	height, err := o.NaturalHeight(size, loose)
	if err != nil || height <= size.Height {
		return size, err
	}
	for _, share := range draw.Smaller {
		page := Page.Shrunk(share * o.TypeShare())
		if height, err = o.NaturalHeight(page, loose); err == nil && height <= page.Height {
			if height < 0.9*page.Height { // what would be empty is cut off
				page = page.Tall(max(height, 0.6*page.Height))
			}
			return page, nil
		}
		size = page.Tall(max(height, page.Height))
	}
	return size, err
}
