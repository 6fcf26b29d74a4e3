package survey

import (
	"math"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/montecarlo"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Numbers of people: counted in the file by other means. The centres of mass of everybody
// over their supine statures are those in the file's description.
func TestReadChildren(t *testing.T) {
	folder := rawFiles(t)
	for _, c := range []struct {
		sex          anthro.Sex
		from, below  float64
		people       int
		mean, spread float64 // of the centre over the supine stature
		measured     int
	}{
		{anthro.Male, 16, 20.999, 252, 0.5602, 0.0062, 59},
		{anthro.Female, 16, 20.999, 234, 0.5554, 0.0086, 42},
		{anthro.Male, 10, 14, 0, 0.5612, 0.0075, 130},
		{anthro.Female, 10, 14, 0, 0.5573, 0.0076, 101},
	} {
		children := golden.Must(ReadChildren(folder, c.sex, c.from, c.below))(t)
		if c.people > 0 && len(children.Age) != c.people {
			t.Errorf("%s of %g: %d people, want %d", c.sex, c.from, len(children.Age), c.people)
		}
		var shares []float64
		for i, centre := range children.Item[centreItem] {
			if share := centre / children.Item[supineItem][i]; !math.IsNaN(share) {
				shares = append(shares, share)
			}
		}
		mean, spread := stat.MeanStdDev(shares, nil)
		if len(shares) != c.measured || math.Abs(mean-c.mean) > 1e-4 || math.Abs(spread-c.spread) > 1e-4 {
			t.Errorf("%s of %g: the centres of %d lie at %.4f, spread %.4f; want %d, %.4f, %.4f", c.sex, c.from, len(shares), mean, spread, c.measured, c.mean, c.spread)
		}
	}
}

// What soldiers' proportions let expect of children, of what both had measured: how far
// off is what nobody has measured of children, for which there is nothing else.
func TestSoldiersProportionsForetellChildren(t *testing.T) {
	squares, count, covered, total := 0.0, 0.0, 0.0, 0.0
	forBoth(t, youngs, func(t *testing.T, p *public) {
		limbed := golden.Must(p.children.withLimbs(montecarlo.NewStream(0, "test")))(t)
		children := limbed.asSoldiers()
		more := golden.Must(landmarks(children, p.soldiers))(t)
		for i, stature := range children.People.Value[anthro.Stature] {
			for _, m := range shared {
				children.People.Value[m][i] -= ofMeasurers * more[at(m)] * stature
			}
		}
		for _, m := range shared {
			c := golden.Must(fitProportions(p.soldiers, []anthro.Measurement{m}, m))(t)
			spread := stat.StdDev(c.left.RawMatrix().Data, nil)
			var over []float64
			for i, age := range children.People.Value[anthro.Age] {
				if age < youthful.youngest || age > youthful.oldest {
					continue
				}
				expected := 0.0
				for k, x := range proportions(children.People, i, m) {
					expected += x * c.coefficients.At(k, 0)
				}
				over = append(over, (children.People.Value[m][i]/children.People.Value[anthro.Stature][i]-expected)/spread)
			}
			miss, own := stat.MeanStdDev(over, nil)
			inside := 0.0
			for _, o := range over {
				if within90(distuv.UnitNormal.CDF(o / math.Hypot(1, shiftOfProportions))) {
					inside++
				}
			}
			t.Logf("%s: %+.2f standard deviations off, spread %.2f of soldiers', the 90 %% interval holds %.1f %%", m, miss, own, 100*inside/float64(len(over)))
			squares, count = squares+miss*miss, count+1
			covered, total = covered+inside, total+float64(len(over))
		}
	})
	if count == 0 {
		return
	}
	rms := math.Sqrt(squares / count)
	t.Logf("root mean square of the misses %.2f standard deviations", rms)
	if rms > shiftOfProportions {
		t.Errorf("soldiers' proportions miss children's by %.2f standard deviations, the refits take %.2f", rms, shiftOfProportions)
	}
	holds(t, "what soldiers' proportions let expect", covered, total)
}

// Children of whom nobody was used in the fit, foretold from stature, mass and age: a
// fifth at a time. They are read by their own measurers, so that nothing of these is
// taken off here.
func TestChildrenHeldOut(t *testing.T) {
	forBoth(t, youngs, func(t *testing.T, p *public) {
		var covered, total [anthro.NumMeasurements]float64
		var below [anthro.NumMeasurements][]float64
		for fold := range 5 {
			part := *p
			part.children = p.children.only(func(i int) bool { return i%5 != fold })
			d := p.reference()
			d.ofMeasurers = 0
			crowd := golden.Must(part.crowd(d, montecarlo.NewStream(uint64(fold), "test")))(t)
			file := p.described()
			golden.OK(t, fitJoint(file, crowd))
			population := golden.Must(anthro.NewPopulation(file))(t)
			for i, age := range p.children.Age {
				if age < youthful.youngest || age >= youthful.oldest+1 || i%5 != fold {
					continue
				}
				known := []anthro.Known{{Of: anthro.Stature, Value: p.children.Item[statureItem][i]}, {Of: anthro.Mass, Value: p.children.Item[massItem][i]}, {Of: anthro.Age, Value: math.Floor(age)}}
				for k, m := range ofItem {
					read := p.children.Item[k][i]
					if math.IsNaN(read) {
						continue
					}
					share := population.ShareBelow(m, read, known...)
					below[m] = append(below[m], share)
					total[m]++
					if within90(share) {
						covered[m]++
					}
				}
			}
		}
		for _, m := range shared {
			t.Logf("%s: n %.0f, they lie at %.2f of those foretold, the 90 %% interval holds %.1f %%", m, total[m], stat.Mean(below[m], nil), 100*covered[m]/total[m])
		}
		// Of one length there are 240, whose share is known to 2 %.
		for what, these := range map[string][]anthro.Measurement{
			"sitting height": {anthro.SittingHeight}, "arms": {anthro.UpperArmLength, anthro.ForearmLength}, "breadths": {anthro.BiacromialBreadth, anthro.HipBreadth},
			"legs": {anthro.TrochanterionHeight, anthro.TibialHeight}, "hands and feet": {anthro.HandLength, anthro.FootLength},
		} {
			held, people := 0.0, 0.0
			for _, m := range these {
				held, people = held+covered[m], people+total[m]
			}
			if p.sex == anthro.Female && what == "legs" {
				// A miss that is known, of those measurers' tape: of today's girls the legs are held.
				// It is a fault where it grows or goes.
				share := held / people
				t.Logf("legs: the 90 %% interval holds %.1f %%, a known miss", 100*share)
				if !(share > 0.85 && share < 0.88) {
					t.Errorf("legs: the 90 %% interval holds %.1f %%, known are 85 to 88 %%", 100*share)
				}
				continue
			}
			holds(t, what, held, people)
		}
	})
}

// Youths of every age have the statures, masses and waists of that age, though two kinds
// of people stand for all of growth.
func TestDrawnYouthsByAge(t *testing.T) {
	forBoth(t, youngs, func(t *testing.T, p *public) {
		drawn, e := draw(t, p.name(), 200_000), p.examined
		for m, surveyed := range map[anthro.Measurement][]float64{anthro.Stature: e.Stature, anthro.Mass: e.Mass, anthro.WaistCircumference: e.Waist} {
			for age := youthful.youngest; age <= youthful.oldest; age++ {
				mean, spread := ofAge(surveyed, e.Age, e.Weight, age)
				gotMean, gotSpread := ofAge(drawn.Value[m], drawn.Value[anthro.Age], nil, age)
				t.Logf("%s at %.0f: %.4g (%.3g), surveyed %.4g (%.3g): %+.2f standard deviations", m, age, gotMean, gotSpread, mean, spread, (gotMean-mean)/spread)
				if math.Abs(gotMean-mean) > 0.2*spread || math.Abs(gotSpread/spread-1) > 0.16 {
					t.Errorf("%s at %.0f: %.4g (%.3g), surveyed %.4g (%.3g)", m, age, gotMean, gotSpread, mean, spread)
				}
			}
		}
	})
}

// ofAge returns the mean and the standard deviation of people of one age.
func ofAge(values, ages, weights []float64, age float64) (mean, spread float64) {
	var own, w []float64
	for i, v := range values {
		if ages[i] == age && !math.IsNaN(v) {
			own, w = append(own, v), append(w, weigh(weights, i))
		}
	}
	return stat.MeanStdDev(own, w)
}

// standing returns the height of the whole body's centre of mass, arms hanging, feet flat
// with their centre at half the ankle's height.
func standing(b *body.Columns, i int) float64 {
	hip := b.Ankle[i] + b.Shank[i] + b.Thigh[i]
	shoulder := hip + b.Hip[i]
	arm := b.UpperArmShare[i]*(shoulder-b.UpperArmCentre[i]) + b.ForearmShare[i]*(shoulder-b.UpperArm[i]-b.ForearmCentre[i]) +
		b.HandShare[i]*(shoulder-b.UpperArm[i]-b.Forearm[i]-b.HandCentre[i])
	return 2*arm + b.HeadShare[i]*(shoulder-b.HeadCentre[i]) + b.TrunkShare[i]*(shoulder-b.TrunkCentre[i]) +
		2*(b.ThighShare[i]*(hip-b.ThighCentre[i])+b.ShankShare[i]*(hip-b.Thigh[i]-b.ShankCentre[i])+b.FootShare[i]*b.Ankle[i]/2)
}

// centreMisses are what is known of the default table: by how much bodies built from the
// sizes of children have their centre of mass too low, as a share of stature, by the
// youngest age of the group; in datasets/SOURCES.md.
var centreMisses = map[anthro.Sex]map[float64]float64{
	anthro.Male:   {10: -0.0126, 12: -0.0065, 14: -0.0054, 16: -0.0098},
	anthro.Female: {10: -0.0031, 12: -0.0012, 14: 0, 16: -0.0021},
}

// Bodies built from the sizes of the very children whose centre of mass was measured,
// lying, against what was measured. Lying one is a hundredth longer: a centre counts as
// a share of the stature in which it was found, so that what lying adds is spread over the
// whole length; were it all above the centre, what is built would be lower by 0.0055.
// Another miss than the known one is a fault: the standard error of each is 0.001 to 0.002.
func TestCentresOfMassOfChildren(t *testing.T) {
	forBoth(t, youngs, func(t *testing.T, p *public) {
		measured := golden.Must(p.children.centred(p.soldiers))(t)
		population := golden.Must(anthro.Load(p.name()))(t)
		for _, table := range []string{"deleva-1996", "dumas-2007", "dempster-winter"} {
			for _, masses := range []body.Masses{body.Table, body.Full} {
				builder := golden.Must(body.NewBuilder(population, masses, table))(t)
				bodies, a := body.New(measured.people.Rows()), assume.Defaults()
				builder.Build(bodies, measured.people, &a)
				for _, group := range []ages{{10, 11}, {12, 13}, {14, 15}, {16, 19}} {
					var own, built, miss []float64
					for i, age := range measured.people.Value[anthro.Age] {
						if age >= group.youngest && age <= group.oldest {
							own = append(own, measured.share[i])
							built = append(built, standing(bodies, i)/bodies.Stature[i])
							miss = append(miss, built[len(built)-1]-measured.share[i])
						}
					}
					m, s := stat.MeanStdDev(miss, nil)
					t.Logf("%s, %s, %.0f to %.0f years (n %d): measured %.4f, built %.4f; miss %+.4f, spread %.4f, correlation %.2f", table, masses, group.youngest, group.oldest, len(miss),
						stat.Mean(own, nil), stat.Mean(built, nil), m, s, stat.Correlation(own, built, nil))
					if want := centreMisses[p.sex][group.youngest]; table == body.DefaultSegments && masses == body.Table && !(math.Abs(m-want) < 0.001 && s < 0.0125) {
						t.Errorf("%.0f to %.0f years: miss %+.4f, spread %.4f; known are %+.4f, and less than 0.0125", group.youngest, group.oldest, m, s, want)
					}
				}
			}
		}
	})
}

// centred is children whose centre of mass was measured, with all that a body is built of.
type centred struct {
	people *anthro.People
	share  []float64 // of the centre in the supine stature
}

func (c *Children) centred(soldiers *Soldiers) (*centred, error) {
	limbed, err := c.withLimbs(montecarlo.NewStream(0, "test"))
	if err != nil {
		return nil, err
	}
	completed, err := c.completed(soldiers, ofMeasurers, montecarlo.NewStream(0, "test"))
	if err != nil {
		return nil, err
	}
	var rows []int
	for i := range limbed.Age {
		if !math.IsNaN(limbed.Item[centreItem][i] + limbed.Item[supineItem][i]) {
			rows = append(rows, i)
		}
	}
	found := &centred{people: anthro.NewPeople(len(rows))}
	for to, i := range rows {
		found.share = append(found.share, limbed.Item[centreItem][i]/limbed.Item[supineItem][i])
		for m := range anthro.NumVariables {
			found.people.Value[m][to] = completed.People.Value[m][i]
		}
	}
	return found, nil
}
