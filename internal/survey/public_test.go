package survey

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/linear"
	"counterpoise/sim/montecarlo"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// publics and youngs hold what readBoth has read, adults and youths: unpacking takes
// seconds.
var publics, youngs = map[anthro.Sex]*public{}, map[anthro.Sex]*public{}

func readBoth(t *testing.T) {
	t.Helper()
	folder := rawFiles(t)
	for _, sex := range []anthro.Sex{anthro.Male, anthro.Female} {
		if publics[sex] != nil {
			continue
		}
		soldiers, err := ReadSoldiers(folder, sex)
		if err != nil {
			t.Fatal(err)
		}
		if publics[sex], youngs[sex], err = readPublics(folder, sex, soldiers); err != nil {
			t.Fatal(err)
		}
	}
}

// forBoth runs a test on publics or youngs, men before women.
func forBoth(t *testing.T, which map[anthro.Sex]*public, test func(t *testing.T, p *public)) {
	readBoth(t)
	for _, p := range []*public{which[anthro.Male], which[anthro.Female]} {
		t.Run(p.name(), func(t *testing.T) { test(t, p) })
	}
}

// only returns the soldiers who are meant.
func (s *Soldiers) only(meant func(i int) bool) *Soldiers {
	some := &Soldiers{file: s.file}
	var rows []int
	for i := range s.People.Rows() {
		if meant(i) {
			rows = append(rows, i)
		}
	}
	some.People = anthro.NewPeople(len(rows))
	for to, from := range rows {
		some.Descent = append(some.Descent, s.Descent[from])
		for m := range anthro.NumVariables {
			some.People.Value[m][to] = s.People.Value[m][from]
		}
	}
	return some
}

// within90 is whether a share of people below a value is that of a value inside the 90 %
// interval.
func within90(below float64) bool { return below >= 0.05 && below <= 0.95 }

// holds says whether 90 % intervals hold 87 to 93 %.
func holds(t *testing.T, what string, covered, total float64) {
	t.Helper()
	if share := covered / total; !(share >= 0.87 && share <= 0.93) {
		t.Errorf("%s: the 90 %% interval holds %.1f %%, must hold 87 to 93 %%", what, 100*share)
	} else {
		t.Logf("%s: the 90 %% interval holds %.1f %%", what, 100*share)
	}
}

// foretold tells how a transfer from some soldiers foretells others: of each measurement,
// the mean miss in standard deviations and the share inside the 90 % interval. What is
// drawn is what the refits draw: people's residuals, and a shift of all, or that of
// another group than are among the soldiers.
func foretold(t *testing.T, from, others *Soldiers, another bool) (miss, covered [moved]float64) {
	t.Helper()
	transfer := golden.Must(fitTransfer(from))(t)
	var shifts [][moved]float64
	for k := range refitCount {
		d := transfer.doubt(k)
		shifts = append(shifts, d.shift)
		if another {
			shifts[k] = d.group[OtherDescent]
		}
	}
	// A group that is among the soldiers has its own mean.
	var group [numDescents][moved]float64
	for d, soldiers := range transfer.of {
		for _, i := range soldiers {
			for y := range moved {
				group[d][y] += transfer.residual[i][y] / float64(len(soldiers))
			}
		}
	}
	v, n := others.People.Value, float64(others.People.Rows())
	for i := range others.People.Rows() {
		expected := transfer.predict(v[anthro.Stature][i], v[anthro.Mass][i], v[anthro.WaistCircumference][i], v[anthro.Age][i])
		for y := range moved {
			spread := math.Sqrt(transfer.within.At(y, y))
			over := v[int(firstMoved)+y][i] - expected[y] - group[others.Descent[i]][y]
			below := 0.0
			for _, shift := range shifts {
				below += distuv.UnitNormal.CDF((over-shift[y])/spread) / float64(len(shifts))
			}
			miss[y] += over / spread / n
			if within90(below) {
				covered[y] += 1 / n
			}
		}
	}
	return miss, covered
}

// Black soldiers, foretold from White soldiers as people of a descent whom nobody among
// them has: their span is 58 mm longer for their size, their sitting height 26 to 32 mm
// less. What the others do not differ in is covered the more.
func TestTransferToAnotherDescent(t *testing.T) {
	forBoth(t, publics, func(t *testing.T, p *public) {
		white := p.soldiers.only(func(i int) bool { return p.soldiers.Descent[i] == White })
		black := p.soldiers.only(func(i int) bool { return p.soldiers.Descent[i] == Black })
		miss, covered := foretold(t, white, black, true)
		_, blind := foretold(t, white, black, false)
		for y := range moved {
			m := firstMoved + anthro.Measurement(y)
			t.Logf("%s: %+.2f standard deviations off, the 90 %% interval holds %.1f %% (as of a group among them %.1f %%)", m, miss[y], 100*covered[y], 100*blind[y])
			if covered[y] < 0.82 {
				t.Errorf("%s: the 90 %% interval holds %.1f %%", m, 100*covered[y])
			}
		}
		for _, m := range []anthro.Measurement{anthro.Span, anthro.SittingHeight} {
			holds(t, m.String(), covered[at(m)], 1)
		}
	})
}

// Heavy soldiers, foretold from lean ones.
func TestTransferToTheHeavy(t *testing.T) {
	forBoth(t, publics, func(t *testing.T, p *public) {
		index := func(i int) float64 {
			return p.soldiers.People.Value[anthro.Mass][i] / math.Pow(p.soldiers.People.Value[anthro.Stature][i], 2)
		}
		lean := p.soldiers.only(func(i int) bool { return index(i) < 27 })
		heavy := p.soldiers.only(func(i int) bool { return index(i) > 30 })
		miss, covered := foretold(t, lean, heavy, false)
		bones, all := 0.0, 0.0
		for y := range moved {
			m := firstMoved + anthro.Measurement(y)
			t.Logf("%s: %+.2f standard deviations off, the 90 %% interval holds %.1f %%", m, miss[y], 100*covered[y])
			if m != anthro.HipBreadth { // flesh, which no demand of any hold reads
				bones, all = bones+covered[y], all+1
			}
		}
		holds(t, "all but the hips", bones, all)
	})
}

// Where both surveys tell of a length, their groups differ alike: this is how well what
// soldiers differ in holds of the public. The standard error of a contrast is 0.02 to
// 0.1 standard deviations.
func TestGroupsOfThePublicDifferAsSoldiersDo(t *testing.T) {
	forBoth(t, publics, func(t *testing.T, p *public) {
		transfer := golden.Must(fitTransfer(p.soldiers))(t)
		waist := golden.Must(fillWaists(p.examined, montecarlo.NewStream(0, "test")))(t)
		tapes := golden.Must(readTapes(p.examined, waist, transfer))(t)
		for name, one := range map[string]struct {
			over []float64
			of   func(*[moved]float64) float64
		}{"upper arm": {tapes.arm.over, arm}, "upper leg": {tapes.leg.over, leg}} {
			var public, weight [numDescents][]float64
			for i, over := range one.over {
				if !math.IsNaN(over) {
					d := p.examined.Descent[i]
					public[d], weight[d] = append(public[d], over), append(weight[d], p.examined.Weight[i])
				}
			}
			var army [numDescents]float64
			squares, n := 0.0, 0.0
			for d, soldiers := range transfer.of {
				var own []float64
				for _, i := range soldiers {
					own = append(own, one.of(&transfer.residual[i]))
				}
				mean, spread := stat.MeanStdDev(own, nil)
				army[d] = mean
				squares, n = squares+spread*spread*float64(len(own)), n+float64(len(own))
			}
			spread := math.Sqrt(squares / n)
			for d := Black; d <= Asian; d++ {
				here, there := stat.Mean(public[d], weight[d])-stat.Mean(public[White], weight[White]), army[d]-army[White]
				t.Logf("%s, group %d against the first: %.1f mm, soldiers %.1f mm; %.2f standard deviations apart", name, d, 1000*here, 1000*there, (here-there)/spread)
				if math.Abs(here-there) > 2*shiftOfGroups*spread {
					t.Errorf("%s, group %d: %.1f mm, soldiers %.1f mm", name, d, 1000*here, 1000*there)
				}
			}
		}
	})
}

// People whose sampling units nobody used in the fit: what the tape read of their arms,
// legs and waists, foretold from stature, mass and age, and of the lengths the waist.
func TestPublicHeldOut(t *testing.T) {
	forBoth(t, publics, heldOutOfThePublic)
	forBoth(t, youngs, heldOutOfThePublic)
}

func heldOutOfThePublic(t *testing.T, p *public) {
	fitted, out := *p.examined, func(i int) bool { return math.Mod(p.examined.Stratum[i], 5) == 0 }
	fitted.Weight = make([]float64, len(p.examined.Weight))
	for i, w := range p.examined.Weight {
		if !out(i) {
			fitted.Weight[i] = w
		}
	}
	part := *p
	part.examined = &fitted
	file := golden.Must(fitPublic(&part))(t)
	population := golden.Must(anthro.NewPopulation(file))(t)
	measured, transfer, err := part.transfer(p.reference(), montecarlo.NewStream(0, "test"))
	if err != nil {
		t.Fatal(err)
	}
	waist := golden.Must(fillWaists(&fitted, montecarlo.NewStream(0, "test")))(t)
	soldierly := golden.Must(measured.waistsOf(&fitted, waist, waistOfTape))(t)
	tapes := golden.Must(readTapes(&fitted, soldierly, transfer))(t)
	var covered, total [3]float64
	count := func(what int, weight float64, inside bool) {
		total[what] += weight
		if inside {
			covered[what] += weight
		}
	}
	a, refused := p.examined, 0
	for i, weight := range a.Weight {
		if !out(i) || math.IsNaN(a.Waist[i]) {
			continue
		}
		known := []anthro.Known{{Of: anthro.Stature, Value: a.Stature[i]}, {Of: anthro.Mass, Value: a.Mass[i]}, {Of: anthro.Age, Value: a.Age[i]}}
		count(2, weight, within90(population.ShareBelow(anthro.WaistCircumference, a.Waist[i], known...)))
		person, err := population.Condition(append(known, anthro.Known{Of: anthro.WaistCircumference, Value: a.Waist[i]}), anthro.Regional{})
		if err != nil {
			refused++
			continue
		}
		people := anthro.NewPeople(400)
		golden.OK(t, person.NewSampler().Draw(people, normals(byte(i))))
		for k, one := range []struct {
			read   float64
			tape   *reading
			length func(i int) float64
		}{
			{a.Arm[i], &tapes.arm, func(i int) float64 { return people.Value[anthro.UpperArmLength][i] }},
			{a.Leg[i], &tapes.leg, func(i int) float64 {
				return people.Value[anthro.TrochanterionHeight][i] - people.Value[anthro.TibialHeight][i]
			}},
		} {
			if math.IsNaN(one.read) {
				continue
			}
			below := 0.0
			for row := range people.Rows() {
				over := one.read - one.length(row) - one.tape.tape(a.Stature[i], a.Mass[i], a.Age[i])
				below += distuv.UnitNormal.CDF(over/math.Sqrt(one.tape.variance)) / float64(people.Rows())
			}
			count(k, weight, within90(below))
		}
	}
	t.Logf("%d refused", refused)
	for k, name := range []string{"arms", "legs", "waists"} {
		holds(t, name, covered[k], total[k])
	}
}

// What is drawn of the public is as it was measured: means, standard deviations,
// quantiles and rank correlations with the survey's weights. Half a year lies between a
// birthday and an age. Girls' stature does not go with mass as a Gaussian copula has it:
// misses that are known, and faults where they grow or go.
func TestDrawnPublicMatchesTheSurvey(t *testing.T) {
	forBoth(t, publics, matchesTheSurvey)
	forBoth(t, youngs, matchesTheSurvey)
}

func matchesTheSurvey(t *testing.T, p *public) {
	drawn := draw(t, p.name(), drawnPeople)
	a := p.examined
	surveyed := map[anthro.Measurement][]float64{anthro.Stature: a.Stature, anthro.Mass: a.Mass, anthro.WaistCircumference: a.Waist, anthro.Age: a.Age}
	measured := []anthro.Measurement{anthro.Stature, anthro.Mass, anthro.WaistCircumference, anthro.Age}
	for _, m := range measured {
		var values, weights []float64
		for i, v := range surveyed[m] {
			if !math.IsNaN(v) {
				values, weights = append(values, v), append(weights, a.Weight[i])
			}
		}
		// The waist is missing of the heavier, for whom the fit makes up.
		byMean, bySpread, byQuantile := 0.005, 0.015, 0.015
		if p.children != nil {
			byQuantile = 0.02 // of 1,900 youths, 40 are below the first quantile
		}
		if m == anthro.WaistCircumference {
			byMean, bySpread, byQuantile = 0.008, 0.025, 0.02
		}
		mean, spread := stat.MeanStdDev(values, weights)
		gotMean, gotSpread := stat.MeanStdDev(drawn.Value[m], nil)
		if math.Abs(gotMean/mean-1) > byMean || math.Abs(gotSpread/spread-1) > bySpread {
			t.Errorf("%s: mean %.5g, standard deviation %.4g; surveyed %.5g, %.4g", m, gotMean, gotSpread, mean, spread)
		}
		stat.SortWeighted(values, weights)
		own := slices.Sorted(slices.Values(drawn.Value[m]))
		worst := 0.0
		for _, share := range []float64{0.02, 0.05, 0.25, 0.5, 0.75, 0.95, 0.98} {
			want, got := stat.Quantile(share, stat.Empirical, values, weights), stat.Quantile(share, stat.Empirical, own, nil)
			worst = max(worst, math.Abs(got/want-1))
			off := byQuantile * want
			if m == anthro.Age {
				off = 1
			}
			if math.Abs(got-want) > off {
				t.Errorf("%s: of a share of %g less than %.4g, surveyed %.4g", m, share, got, want)
			}
		}
		t.Logf("%s: mean %+.2f %%, standard deviation %+.2f %%, quantiles within %.2f %% of the survey", m, 100*(gotMean/mean-1), 100*(gotSpread/spread-1), 100*worst)
	}
	missed := map[[3]string]float64{
		{"us-girls", anthro.Mass.String(), anthro.Stature.String()}:               0.035,
		{"us-girls", anthro.WaistCircumference.String(), anthro.Stature.String()}: 0.045,
	}
	exponent := func(stature, mass, weight []float64) float64 {
		x, y := make([]float64, len(stature)), make([]float64, len(mass))
		for i := range x {
			x[i], y[i] = math.Log(stature[i]), math.Log(mass[i])
		}
		_, slope := stat.LinearRegression(x, y, weight, false)
		return slope
	}
	want, got := exponent(a.Stature, a.Mass, a.Weight), exponent(drawn.Value[anthro.Stature], drawn.Value[anthro.Mass], nil)
	t.Logf("mass goes with stature to the power %.3f, surveyed %.3f", got, want)
	if math.Abs(got-want) > 0.1 {
		t.Errorf("mass goes with stature to the power %.3f, surveyed %.3f", got, want)
	}
	for i, m := range measured {
		for _, k := range measured[:i] {
			var x, y, w []float64
			for row := range a.Weight {
				if v, u := surveyed[m][row], surveyed[k][row]; !math.IsNaN(v) && !math.IsNaN(u) {
					x, y, w = append(x, v), append(y, u), append(w, a.Weight[row])
				}
			}
			want := stat.Correlation(weightedRanks(x, w), weightedRanks(y, w), w)
			got := stat.Correlation(linear.Ranks(drawn.Value[m]), linear.Ranks(drawn.Value[k]), nil)
			miss := missed[[3]string{p.name(), m.String(), k.String()}]
			t.Logf("%s with %s: Spearman's correlation %.3f, surveyed %.3f", m, k, got, want)
			if math.Abs(got-want-miss) > 0.03 || miss != 0 && math.Abs(got-want) < 0.02 {
				t.Errorf("%s with %s: Spearman's correlation %.3f, surveyed %.3f", m, k, got, want)
			}
		}
	}
}

// weightedRanks gives each value the share of people below it, half of those who have
// the same included.
func weightedRanks(values, weights []float64) []float64 {
	order := make([]int, len(values))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(values[a], values[b]) })
	ranked, before := make([]float64, len(values)), 0.0
	for from := 0; from < len(order); {
		to, same := from, 0.0
		for to < len(order) && values[order[to]] == values[order[from]] {
			same += weights[order[to]]
			to++
		}
		for _, i := range order[from:to] {
			ranked[i] = before + same/2
		}
		before, from = before+same, to
	}
	return ranked
}

// Of two kinds of people the span for stature is skew; of one it would not be.
func TestProportionsOfThePublicAreSkew(t *testing.T) {
	forBoth(t, publics, func(t *testing.T, p *public) {
		name := "us-" + whoAre(p.sex)
		crowd := golden.Must(p.crowd(p.reference(), montecarlo.NewStream(0, "fit/"+name)))(t)
		skew := func(people *anthro.People, weight []float64) float64 {
			ratio := make([]float64, people.Rows())
			anthro.Ratio(anthro.Span, anthro.Stature).Values(ratio, people)
			return stat.Skew(ratio, weight)
		}
		want, got := skew(crowd.people, crowd.weight), skew(draw(t, name, drawnPeople), nil)
		t.Logf("skewness of span/stature %.3f, fitted to %.3f", got, want)
		if !(got > 0.5*want && got < 1.2*want) {
			t.Errorf("skewness of span/stature %.3f, fitted to %.3f", got, want)
		}
	})
}

// Shoulders of another survey's adults, from their stature, mass and age, with the doubts
// of the transfer: of a value, the share of people below it is the refits' mean.
func TestPublicForetellsOtherShoulders(t *testing.T) {
	folder := rawFiles(t)
	covered, total := 0.0, 0.0
	for _, sex := range []anthro.Sex{anthro.Male, anthro.Female} {
		students := golden.Must(ReadStudents(folder, sex))(t)
		population := golden.Must(anthro.Load("us-" + whoAre(sex)))(t)
		below := make([]float64, len(students.Stature))
		for k := range population.Refits() {
			refit := golden.Must(population.Refit(k))(t)
			for i := range below {
				known := []anthro.Known{{Of: anthro.Stature, Value: students.Stature[i]}, {Of: anthro.Mass, Value: students.Mass[i]}, {Of: anthro.Age, Value: min(students.Age[i], adult.oldest)}}
				below[i] += refit.ShareBelow(anthro.BiacromialBreadth, students.BiacromialBreadth[i], known...) / float64(population.Refits())
			}
		}
		own := 0.0
		for _, share := range below {
			if within90(share) {
				own++
			}
		}
		t.Logf("%s: the median shoulders lie at %.2f of those foretold, the 90 %% interval holds %.1f %%", sex, stat.Mean(below, nil), 100*own/float64(len(below)))
		covered, total = covered+own, total+float64(len(below))
	}
	holds(t, "biacromial breadths", covered, total)
}

// What the refits say of the sampling error is what the survey's design says of a mean.
func TestPublicRefitsHaveTheDesignsError(t *testing.T) {
	forBoth(t, publics, hasTheDesignsError)
	forBoth(t, youngs, hasTheDesignsError)
}

func hasTheDesignsError(t *testing.T, p *public) {
	population := golden.Must(anthro.Load(p.name()))(t)
	for m, values := range map[anthro.Measurement][]float64{anthro.Stature: p.examined.Stature, anthro.Mass: p.examined.Mass} {
		ones := mat.NewDense(len(values), 1, nil)
		for i := range values {
			ones.Set(i, 0, 1)
		}
		fit := golden.Must(fitDesign(ones, values, p.examined.Weight, p.examined.Stratum, p.examined.Unit))(t)
		var means []float64
		for k := range population.Refits() {
			refit := golden.Must(population.Refit(k))(t)
			sum := 0.0
			for share := 0.005; share < 1; share += 0.01 {
				sum += refit.Quantile(m, share) / 100
			}
			means = append(means, sum)
		}
		got, want := stat.StdDev(means, nil), fit.error(0)
		t.Logf("%s: standard error of the mean %.3g, by the design %.3g", m, got, want)
		// Of 64 refits it is known to 9 %.
		if got < 0.7*want || got > 1.35*want {
			t.Errorf("%s: standard error of the mean %.3g, by the design %.3g", m, got, want)
		}
	}
}

// The flag's force by the lift-and-turn rule, of the public and of soldiers, as a multiple of
// body weight and as a mass. What is drawn has the force of those to whom it was fitted.
// The references, 0.9584 and 0.9663 body weights, 82.8 and 70.4 kg, are of a transfer that
// takes no account of descent, and of which nothing else is known. Without it, this one gives
// the force within 0.0025 and the mass within 0.3 kg but for the men's mass, which is 0.4 kg
// above: a miss that is known, and a fault where it grows or goes. With it women need
// 0.8 % more: a third of the Army's women are Black, an eighth of the public's, and they
// have the longest arms and the shortest trunks. Tables by age are logged.
func TestFlagOfThePublic(t *testing.T) {
	forBoth(t, publics, func(t *testing.T, p *public) {
		reference := map[anthro.Sex][2]float64{anthro.Male: {0.9584, 82.8}, anthro.Female: {0.9663, 70.4}}[p.sex]
		missed := map[anthro.Sex]float64{anthro.Male: 0.4} // kg
		population := golden.Must(anthro.Load("us-" + whoAre(p.sex)))(t)
		const everyAge = -1.0
		median := func(people *anthro.People, weight []float64, decade float64) (median [2]float64) {
			force := newFlag(t, population, people.Rows()).of(t, people)
			var values [2][]float64
			var weights []float64
			for i, age := range people.Value[anthro.Age] {
				if decade == everyAge || 10*math.Floor(age/10) == decade {
					values[0] = append(values[0], force[i])
					values[1] = append(values[1], force[i]*people.Value[anthro.Mass][i])
					weights = append(weights, weigh(weight, i))
				}
			}
			for k := range values {
				own := slices.Clone(weights)
				stat.SortWeighted(values[k], own)
				median[k] = stat.Quantile(0.5, stat.Empirical, values[k], own)
			}
			return median
		}
		crowdOf := func(p *public) [2]float64 {
			c := golden.Must(p.crowd(p.reference(), montecarlo.NewStream(0, "test")))(t)
			return median(c.people, c.weight, everyAge)
		}
		for _, name := range []string{"us-" + whoAre(p.sex), "ansur2-" + whoAre(p.sex)} {
			people := draw(t, name, 100_000)
			for _, decade := range []float64{20, 30, 40, 50, everyAge} {
				m := median(people, nil, decade)
				t.Logf("%s, ages from %.0f: %.4f BW, %.1f kg", name, decade, m[0], m[1])
			}
		}
		close := func(what string, got, want [2]float64, force, kilograms float64) {
			t.Logf("%s: %.4f BW and %.1f kg, to be %.4f and %.1f", what, got[0], got[1], want[0], want[1])
			if math.Abs(got[0]-want[0]) > force || math.Abs(got[1]-want[1]) > kilograms {
				t.Errorf("%s: %.4f BW and %.1f kg, must be %.4f and %.1f", what, got[0], got[1], want[0], want[1])
			}
		}
		close("drawn", median(draw(t, population.Name, 100_000), nil, everyAge), crowdOf(p), 0.0015, 0.4)
		alike, adults, soldiers := *p, *p.examined, *p.soldiers
		adults.Descent, soldiers.Descent = make([]Descent, len(adults.Descent)), make([]Descent, len(soldiers.Descent))
		alike.examined, alike.soldiers = &adults, &soldiers
		reference[1] += missed[p.sex]
		close("without regard to descent", crowdOf(&alike), reference, 0.0025, 0.3)
	})
}
