package sweep

import (
	"context"
	"errors"
	"math"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/body"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"

	"gonum.org/v1/gonum/stat"
)

func men() []scenario.Group { return []scenario.Group{{Population: "ansur2-men", Weight: 1}} }

func testStudy(axes ...Axis) *Study {
	return &Study{
		Name: "test", Base: scenario.Scenario{Hold: hold.HumanFlag, People: men(), Models: []scenario.Model{scenario.DefaultModel(hold.TwoCondition)}},
		Axes: axes, Demands: []hold.Demand{hold.RequiredForce, hold.ArmAngle}, Quantiles: []float64{0.05, 0.5, 0.95}, N: 5000, Seed: 7,
	}
}

func arms(values ...float64) Axis { return Axis{Of: "change.arm_length", Unit: "m", Values: values} }

// points runs a study and copies its points.
func points(t *testing.T, s *Study, o Options) []Point {
	t.Helper()
	var all []Point
	o.Point = func(p *Point) error {
		next := Point{p.Index, slices.Clone(p.Coordinates), p.Bodies, p.Possible, nil}
		for _, row := range p.Statistics {
			next.Statistics = append(next.Statistics, slices.Clone(row))
		}
		all = append(all, next)
		return nil
	}
	golden.OK(t, Run(context.Background(), s, o))
	return all
}

// The middle body at a point is changed as the point says, and needs what the median of the
// people there does, about.
func TestMedianAtAPoint(t *testing.T) {
	s := testStudy(arms(0, 0.1))
	found := points(t, s, Options{})
	var lengths []float64
	for i, x := range s.Axes[0].Values {
		held, in, err := s.Median([]float64{x})
		if err != nil || held == nil || in != hold.HumanFlag {
			t.Fatal(held, in, err)
		}
		lengths = append(lengths, held.Body.Arm(0))
		force, median := held.Held.Value[hold.RequiredForce][0], found[i].Statistics[3][0] // mean, deviation, 5 %, 50 %
		if math.Abs(force/median-1) > 0.02 {
			t.Errorf("at %g m the middle body needs %g, the median of all %g", x, force, median)
		}
	}
	if math.Abs(lengths[1]-lengths[0]-0.1) > 1e-9 {
		t.Errorf("arms of %v m", lengths)
	}
	// A body whose hands stay needs to know where they were.
	for rule := range scenario.NumPostureRules {
		s.Base.Change = &scenario.Change{Posture: rule}
		if held, _, err := s.Median([]float64{0.1}); held == nil || err != nil {
			t.Errorf("posture %v: %v, %v", rule, held, err)
		}
	}
	s.Base.Change = nil
	s.Base.Hold = hold.WallHandstand
	s.Axes = []Axis{{Of: "pose.wall_distance", Unit: "m", Values: []float64{5}}} // nobody reaches so far
	if held, _, err := s.Median([]float64{5}); held != nil || err != nil {
		t.Error(held, err)
	}
}

// memory keeps parts in memory, and loses some.
type memory struct {
	sync.Mutex
	kept  map[int][]byte
	saved int
}

func (m *memory) Load(task int) ([]byte, error) {
	m.Lock()
	defer m.Unlock()
	return m.kept[task], nil
}

func (m *memory) Save(task int, outcome []byte) error {
	m.Lock()
	defer m.Unlock()
	m.kept[task] = slices.Clone(outcome)
	m.saved++
	return nil
}

// The outcome is the same to the last bit for any number of workers, in shards in
// any order, and from parts of which some were lost; also where the bodies of a
// point are cut into several tasks.
func TestSameOutcome(t *testing.T) {
	s := testStudy(arms(-0.03, 0.02, 0.07), Axis{Of: "people", Names: []string{"ansur2-men", "ansur2-women"},
		People: []scenario.Group{{Population: "ansur2-men", Weight: 1}, {Population: "ansur2-women", Weight: 1}}})
	s.N = 70_001
	if s.plan().ranges < 4 {
		t.Fatalf("the bodies are cut into %d ranges only", s.plan().ranges)
	}
	want := points(t, s, Options{Workers: 1})
	if got := points(t, s, Options{Workers: 5}); !reflect.DeepEqual(got, want) {
		t.Error("the outcome depends on the workers")
	}
	kept := &memory{kept: map[int][]byte{}}
	for _, shard := range []int{2, 3, 1} {
		from, to := s.Shard(shard, 3)
		golden.OK(t, Keep(context.Background(), s, Options{Parts: kept}, from, to))
	}
	if kept.saved != s.Tasks() {
		t.Errorf("%d parts of %d tasks", kept.saved, s.Tasks())
	}
	delete(kept.kept, 1)
	delete(kept.kept, s.Tasks()-1)
	if got := points(t, s, Options{Parts: kept}); !reflect.DeepEqual(got, want) {
		t.Error("the outcome depends on parts")
	}
	if kept.saved != s.Tasks()+2 {
		t.Errorf("%d parts were computed again, want 2", kept.saved-s.Tasks())
	}
}

// Shards share the tasks out without a gap.
func TestShards(t *testing.T) {
	s := testStudy(arms(slices.Collect(func(yield func(float64) bool) {
		for i := range 200 {
			yield(float64(i) / 1000)
		}
	})...))
	for _, of := range []int{1, 2, 7, 64} {
		next := 0
		for shard := 1; shard <= of; shard++ {
			from, to := s.Shard(shard, of)
			if from != next || to < from {
				t.Errorf("shard %d of %d: tasks %d to %d after %d", shard, of, from, to, next)
			}
			next = to
		}
		if next != s.Tasks() {
			t.Errorf("%d shards end at task %d of %d", of, next, s.Tasks())
		}
	}
}

// Every task has other points or blocks, and together they have all.
func TestPlan(t *testing.T) {
	for _, c := range []struct {
		points, bodies, blocks int
		keep                   bool
	}{{1, 1, 1, false}, {37, 9000, 3, false}, {5, 3_000_000, 733, false}, {40_000, 100_000, 25, false}, {3, 300_000, 74, true}, {17, 1 << 25, 1 << 13, false}} {
		p := newPlan(c.points, c.bodies, c.blocks, c.keep)
		seen := 0
		for i := range p.tasks() {
			k := p.task(i)
			if k.to-k.from > chunkPoints || k.from >= k.to || k.low >= k.high || k.to > c.points || k.high > c.blocks {
				t.Fatalf("%+v: task %d is %+v", c, i, k)
			}
			seen += (k.to - k.from) * (k.high - k.low)
		}
		if seen != c.points*c.blocks {
			t.Errorf("%+v: tasks cover %d of %d", c, seen, c.points*c.blocks)
		}
	}
}

// A body of another size needs the same force in body weights, and its hands are
// further apart by as much.
func TestSizeChangesNoForce(t *testing.T) {
	s := testStudy(Axis{Of: "change.size", Unit: Share, Values: []float64{-0.2, 0.13, 0.4}})
	s.Demands = []hold.Demand{hold.RequiredForce, hold.ArmAngle, hold.HandSpacing}
	at := points(t, s, Options{})
	for _, p := range at[1:] {
		for d, factor := range []float64{1, 1, (1 + p.Coordinates[0]) / 0.8} {
			if got := p.Statistics[0][d] / at[0].Statistics[0][d] / factor; !(math.Abs(got-1) <= 1e-9) {
				t.Errorf("size %+.2f: mean %s is %g of what it should be", p.Coordinates[0], s.Demands[d], got)
			}
		}
	}
}

// The same bodies stand at every point, whatever the other points are.
func TestCommonBodies(t *testing.T) {
	bodies := func(axes ...Axis) map[int][]float32 {
		s := testStudy(axes...)
		s.Bodies = true
		all := map[int][]float32{}
		err := Run(context.Background(), s, Options{Bodies: func(r *Rows) error {
			all[r.Point] = append(all[r.Point], r.Values[0][:r.N]...)
			return nil
		}})
		if err != nil {
			t.Fatal(err)
		}
		return all
	}
	few := bodies(arms(0.01, 0.02))
	many := bodies(Axis{Of: "tilt", Unit: "rad", Values: []float64{-0.1, 0.05, 0.2}})
	for point, statures := range many {
		if !slices.Equal(statures, few[0]) || len(statures) != 5000 {
			t.Errorf("other bodies at point %d", point)
		}
	}
}

// In the grid the last axis runs fastest, and every combination is there once.
func TestGrid(t *testing.T) {
	s := testStudy(arms(0.01, 0.02), Axis{Of: "model", Names: []string{"equilibrium", "two-condition"}}, Axis{Of: "tilt", Unit: "rad", Values: []float64{0.3, 0.1, 0.2}})
	d := golden.Must(s.design())(t)
	want := [][]float64{{0.01, 0, 0.3}, {0.01, 0, 0.1}, {0.01, 0, 0.2}, {0.01, 1, 0.3}, {0.01, 1, 0.1}, {0.01, 1, 0.2},
		{0.02, 0, 0.3}, {0.02, 0, 0.1}, {0.02, 0, 0.2}, {0.02, 1, 0.3}, {0.02, 1, 0.1}, {0.02, 1, 0.2}}
	if s.NumPoints() != len(want) {
		t.Fatalf("%d points", s.NumPoints())
	}
	at := make([]float64, 3)
	for i := range want {
		if d.coordinates(i, at); !slices.Equal(at, want[i]) {
			t.Errorf("point %d at %v, want %v", i, at, want[i])
		}
	}
}

// A quasi-random design covers its ranges evenly: of the first 2^m points of an
// axis each of 2^m equal parts holds one, in ratios where it is logarithmic.
func TestQuasiRandom(t *testing.T) {
	s := testStudy(Axis{Of: "change.arm_length", Unit: "m", Low: -0.03, High: 0.05},
		Axis{Of: "change.added_mass.legs", Unit: "kg", Low: 0.5, High: 8, Log: true},
		Axis{Of: "legs", Names: []string{"together", "tuck"}, Legs: []hold.Legs{{}, hold.LegsIn(hold.Tuck, 0)}})
	s.Design, s.Points = QuasiRandom, 64
	d := golden.Must(s.design())(t)
	at, parts, tucked := make([]float64, 3), [2]map[int]bool{{}, {}}, 0
	for i := range s.Points {
		d.coordinates(i, at)
		parts[0][int((at[0]+0.03)/0.08*64)] = true
		parts[1][int(math.Log(at[1]/0.5)/math.Log(16)*64)] = true
		tucked += int(at[2])
	}
	if len(parts[0]) != 64 || len(parts[1]) != 64 || tucked != 32 {
		t.Errorf("%d and %d of 64 parts, %d of 64 tucked", len(parts[0]), len(parts[1]), tucked)
	}
	if got := points(t, s, Options{}); len(got) != 64 {
		t.Errorf("%d points came out", len(got))
	}
}

func TestCheck(t *testing.T) {
	many := make([]float64, 1001)
	for i := range many {
		many[i] = float64(i) / 1e4
	}
	for _, c := range []struct {
		want   string
		change func(*Study)
	}{
		{"axes: a sweep needs an axis", func(s *Study) { s.Axes = nil }},
		{"axes: make 1,002,001 points (1,001 × 1,001), allowed: at most 1,000,000", func(s *Study) {
			s.Axes = []Axis{arms(many...), {Of: "change.leg_length", Unit: "m", Values: many}}
		}},
		{"n: found 0", func(s *Study) { s.N = 0 }},
		{"demands: a sweep needs a demand", func(s *Study) { s.Demands = nil }},
		{"demands: human-flag under two-condition has none of these", func(s *Study) { s.Demands = []hold.Demand{hold.WallPush} }},
		{"quantiles: 0.1 comes after 0.5", func(s *Study) { s.Quantiles = []float64{0.5, 0.1} }},
		{"quantiles: found NaN", func(s *Study) { s.Quantiles = []float64{math.NaN()} }},
		{"axes.change.arm_length: appears twice", func(s *Study) { s.Axes = append(s.Axes, arms(0.3, 0.4)) }},
		{"axes.change.arm_length: values 1 and 3 are the same", func(s *Study) { s.Axes[0].Values = []float64{0.01, 0.02, 0.01} }},
		{"axes.change.arm_length: 2 m is not possible, allowed: -0.4 to 0.4 m", func(s *Study) { s.Axes[0].Values[1] = 2 }},
		{"axes.change.arm_length: NaN m is not possible", func(s *Study) { s.Axes[0].Values[1] = math.NaN() }},
		{"axes.change.arms: unknown axis", func(s *Study) { s.Axes[0].Of = "change.arms" }},
		{`axes.change.arm_length: has the unit "kg", wants "m"`, func(s *Study) { s.Axes[0].Unit = "kg" }},
		{"axes.model: is a choice and needs a list of names", func(s *Study) { s.Axes[0].Of = "model" }},
		{"both place the arms", func(s *Study) {
			s.Axes = append(s.Axes, Axis{Of: "change.arm_angle", Unit: "rad", Values: []float64{0.5, 0.6}}, Axis{Of: "posture", Names: []string{"best"}})
		}},
		{"legs: iron-cross cannot be done with the legs tuck", func(s *Study) {
			s.Base.Models[0].Statics = hold.Equilibrium
			s.Demands = []hold.Demand{hold.ShoulderMoment}
			s.Axes = []Axis{{Of: "hold", Names: []string{"human-flag", "iron-cross"}, Holds: []*hold.Hold{hold.HumanFlag, hold.IronCross}}, {Of: "legs", Names: []string{"tuck"}, Legs: []hold.Legs{hold.LegsIn(hold.Tuck, 0)}}}
		}},
		{"demands: the difficulty under equilibrium and the difficulty under two-condition differ in meaning and cannot be compared", func(s *Study) {
			s.Demands = []hold.Demand{hold.RequiredForce, hold.Difficulty}
			s.Axes = append(s.Axes, Axis{Of: "model", Names: []string{"equilibrium", "two-condition"}})
		}},
		{"demands: the difficulty of l-sit (tuck) is not known: the strength of the muscles that lift a thigh", func(s *Study) {
			s.Base.Hold, s.Base.Models[0].Statics = hold.LSit, hold.Equilibrium
			s.Demands = []hold.Demand{hold.HipMoment, hold.Difficulty}
			s.Axes = []Axis{{Of: "legs", Names: []string{"together", "tuck"}, Legs: []hold.Legs{{}, hold.LegsIn(hold.Tuck, 0)}}}
		}},
		{"demands: the difficulty of back-lever is not known", func(s *Study) {
			s.Base.Models[0].Statics = hold.Equilibrium
			s.Demands = []hold.Demand{hold.RequiredForce, hold.Difficulty}
			s.Axes = []Axis{{Of: "hold", Names: []string{"front-lever", "back-lever"}, Holds: []*hold.Hold{hold.FrontLever, hold.BackLever}}}
		}},
		// 176.6 N·m at each shoulder of a cross are more than 176.6 N·m at both of a lever.
		{"demands: shoulder_moment is of one arm in iron-cross and of both together in front-lever, and does not compare: take difficulty", func(s *Study) {
			s.Base.Models[0].Statics = hold.Equilibrium
			s.Demands = []hold.Demand{hold.ShoulderMoment}
			s.Axes = []Axis{{Of: "hold", Names: []string{"front-lever", "iron-cross"}, Holds: []*hold.Hold{hold.FrontLever, hold.IronCross}}}
		}},
		{"points: found 0, allowed: 1 to 1,000,000", func(s *Study) { s.Design = QuasiRandom }},
		{"rows, allowed: at most 1,000,000,000", func(s *Study) { s.Bodies, s.N = true, 1e9 }},
	} {
		s := testStudy(arms(0.01, 0.02))
		c.change(s)
		var field *fault.Error
		if err := s.Check(); err == nil || !errors.As(err, &field) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("got %v, want %q", err, c.want)
		}
	}
}

// Forces may stand beside one another by whatever model, and difficulties by one.
func TestLikeThings(t *testing.T) {
	models := Axis{Of: "model", Names: []string{"equilibrium", "two-condition"}}
	if err := testStudy(models).Check(); err != nil {
		t.Error(err)
	}
	s := testStudy(Axis{Of: "model", Names: []string{"equilibrium"}})
	if s.Demands = []hold.Demand{hold.Difficulty}; s.Check() != nil {
		t.Error(s.Check())
	}
}

// A body that cannot take the posture is counted and left out; a demand that a
// hold lacks is NaN.
func TestWhatIsNotThere(t *testing.T) {
	s := testStudy(Axis{Of: "hold", Names: []string{"human-flag", "front-lever"}, Holds: []*hold.Hold{hold.HumanFlag, hold.FrontLever}})
	s.Base.Models[0].Statics = hold.Equilibrium
	s.Demands = []hold.Demand{hold.HandSpacing, hold.WaistMoment}
	s.Base.Change = &scenario.Change{Body: body.Change{Of: body.Amounts{body.ArmLength: {Share: -0.35}}}} // too short for some levers
	s.Bodies = true
	// Of either hold the rows of the bodies have what it asks for and no more, and the means
	// are theirs.
	sums := [2][2]float64{} // by point and demand
	at := points(t, s, Options{Bodies: func(r *Rows) error {
		for d, demand := range s.Demands {
			asks := slices.Contains(s.Axes[0].Holds[r.Point].Asks(hold.Equilibrium), demand)
			for i, v := range r.Values[len(BodyColumns)+d][:r.N] {
				given := v == v
				if given != (asks && r.Possible[i] == 1) {
					t.Fatalf("point %d, body %d, possible %d: %s is %v", r.Point, r.Body[i], r.Possible[i], demand, v)
				}
				if given {
					sums[r.Point][d] += float64(v)
				}
			}
		}
		return nil
	}})
	if at[0].Statistics[0][0] != at[0].Statistics[0][0] || at[1].Statistics[0][0] == at[1].Statistics[0][0] {
		t.Errorf("hand spacing of the flag %v, of the lever %v", at[0].Statistics[0][0], at[1].Statistics[0][0])
	}
	for k, d := range []int{0, 1} { // the flag's spacing, the lever's moment
		if want := sums[k][d] / float64(at[k].Possible); !(math.Abs(at[k].Statistics[0][d]/want-1) <= 1e-6) {
			t.Errorf("point %d: mean %s %v, the bodies give %v", k, s.Demands[d], at[k].Statistics[0][d], want)
		}
	}
	if p := at[1]; p.Possible == 0 || p.Possible >= p.Bodies || p.Bodies != 5000 {
		t.Errorf("%d of %d bodies can take the lever", p.Possible, p.Bodies)
	}
}

// A demand that is infinite for some has no mean, and leaves those of the others; one that
// is no number is an error that says where.
func TestSumOfWhatIsInfinite(t *testing.T) {
	s, p := testStudy(arms(0.01)), &Point{Index: 3, Statistics: make([][]float64, 5)}
	for k := range p.Statistics {
		p.Statistics[k] = make([]float64, 2)
	}
	of := newTallies(1, 2)[0]
	of.demands[0].add([]float64{1, 2, 6})
	of.demands[1].add([]float64{1, 2, math.Inf(1)})
	golden.OK(t, s.sum(p, &of))
	for k, want := range []float64{3, math.Sqrt(7)} {
		if got := p.Statistics[k]; !(math.Abs(got[0]-want) <= 1e-12) || got[1] == got[1] {
			t.Errorf("statistic %d: %v, want %g and none", k, got, want)
		}
	}
	if got := p.Statistics[3]; !(math.Abs(got[0]-2) <= 2e-3) || !(math.Abs(got[1]-2) <= 2e-3) {
		t.Errorf("medians %v, want 2", got)
	}
	of.demands[0].add([]float64{math.NaN()})
	if err := s.sum(p, &of); err == nil || !strings.Contains(err.Error(), "at point 3 the required_force of 1 bodies") {
		t.Errorf("error %v", err)
	}
}

// Data that are not an outcome are refused.
func TestDamagedOutcome(t *testing.T) {
	s := testStudy(arms(0.01, 0.02))
	kept := &memory{kept: map[int][]byte{}}
	golden.OK(t, Keep(context.Background(), s, Options{Parts: kept}, 0, s.Tasks()))
	whole := kept.kept[0]
	for _, n := range []int{0, 1, 5, 40, len(whole) / 2, len(whole) - 1} {
		out := &outcome{tallies: newTallies(chunkPoints, 2)}
		if err := out.decode(whole[:n], s.plan().task(0)); err == nil {
			t.Errorf("%d of %d bytes are taken", n, len(whole))
		}
	}
	out := &outcome{tallies: newTallies(chunkPoints, 2)}
	if err := out.decode(append(slices.Clone(whole), 1), s.plan().task(0)); err == nil {
		t.Error("a byte too many is taken")
	}
}

func TestStopped(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if err := Run(ctx, testStudy(arms(0.01, 0.02)), Options{}); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}

// workerOf prepares a study for one worker.
func workerOf(t testing.TB, s *Study) (*prepared, *worker) {
	t.Helper()
	p := golden.Must(s.prepare())(t)
	w := golden.Must(p.newWorker())(t)
	return p, w
}

// Holding bodies up allocates nothing for a row, nor for a block.
func TestNoAllocationPerRow(t *testing.T) {
	s := testStudy(arms(0.01, 0.02))
	p, w := workerOf(t, s)
	out := &outcome{tallies: newTallies(chunkPoints, 2)}
	one := p.plan.task(0)
	golden.OK(t, w.compute(one, out))
	ready := []*point{w.point(s.setting([]float64{0.01})), w.point(s.setting([]float64{0.02}))}
	block := 0
	if n := testing.AllocsPerRun(5, func() {
		golden.OK(t, w.block(ready, out.tallies[:2], nil, crowdBlock{0, block, 4096, 0}))
		block++
	}); n > 8 { // the slices of people and bench of a block
		t.Errorf("%v allocations a block", n)
	}
}

func BenchmarkBlock(b *testing.B) {
	values := make([]float64, 16)
	for i := range values {
		values[i] = float64(i) / 100
	}
	s := testStudy(arms(values...))
	_, w := workerOf(b, s)
	out := &outcome{tallies: newTallies(chunkPoints, 2)}
	var points []*point
	for _, x := range values {
		points = append(points, w.point(s.setting([]float64{x})))
	}
	block := 0
	b.ReportAllocs()
	for b.Loop() {
		golden.OK(b, w.block(points, out.tallies, nil, crowdBlock{0, block, 4096, 0}))
		block++
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*4096*len(points)), "ns/body")
}

// armsOfMen is a sweep of the flag over the length of arms.
func armsOfMen(quantiles ...float64) *Study {
	s := testStudy(Axis{Of: "change.arm_length", Unit: "m", Values: []float64{-0.05, 0.1}})
	s.Quantiles, s.Bodies, s.N = quantiles, true, 3000
	return s
}

// The statistics of a point are those of its bodies, the quantiles from the least to the
// greatest.
func TestStatisticsAreThoseOfTheBodies(t *testing.T) {
	s := armsOfMen(0, 0.05, 0.25, 0.5, 0.95, 1)
	bodies := make([][][]float64, s.NumPoints()) // by point and demand
	got := make([][][]float64, s.NumPoints())    // by point, statistic and demand
	first := len(BodyColumns)
	err := Run(context.Background(), s, Options{
		Bodies: func(r *Rows) error {
			if bodies[r.Point] == nil {
				bodies[r.Point] = make([][]float64, len(s.Demands))
			}
			for d := range s.Demands {
				for _, v := range r.Values[first+d][:r.N] {
					bodies[r.Point][d] = append(bodies[r.Point][d], float64(v))
				}
			}
			return nil
		},
		Point: func(p *Point) error {
			for _, row := range p.Statistics {
				got[p.Index] = append(got[p.Index], slices.Clone(row))
			}
			return nil
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	for p := range bodies {
		for d, demand := range s.Demands {
			values := slices.Sorted(slices.Values(bodies[p][d]))
			if len(values) != s.N {
				t.Fatalf("point %d has %d bodies, want %d", p, len(values), s.N)
			}
			mean, deviation := stat.MeanStdDev(values, nil)
			want := []float64{mean, deviation}
			for _, q := range s.Quantiles {
				want = append(want, stat.Quantile(q, stat.LinInterp, values, nil))
			}
			for k, w := range want {
				// Columns are float32, histograms 0.05 % wide.
				if !(math.Abs(got[p][k][d]/w-1) <= 1.5e-3) {
					t.Errorf("point %d, %s: %s is %v, the bodies give %v", p, demand, s.Statistic(k), got[p][k][d], w)
				}
			}
		}
	}
}

// Quantiles are shares from 0 to 1, in order.
func TestQuantilesThatMayBe(t *testing.T) {
	for _, c := range []struct {
		quantiles []float64
		want      string
	}{
		{nil, ""}, {[]float64{0}, ""}, {[]float64{1}, ""}, {[]float64{0, 1}, ""}, {[]float64{0.5, 0.50001}, ""},
		{[]float64{-1e-9}, "quantiles: found -1e-09, allowed: shares from 0 to 1"},
		{[]float64{0.1, 1.0000001}, "quantiles: found 1.0000001"},
		{[]float64{math.Inf(1)}, "quantiles: found"},
		{[]float64{math.NaN()}, "quantiles: found NaN"},
		{[]float64{0.5, 0.5}, "quantiles: 0.5 comes after 0.5"},
		{[]float64{0.5, 0.4}, "quantiles: 0.4 comes after 0.5"},
	} {
		err := armsOfMen(c.quantiles...).Check()
		if c.want == "" {
			if err != nil {
				t.Errorf("%v: %v", c.quantiles, err)
			}
			continue
		}
		var field *fault.Error
		if !errors.As(err, &field) || field.Field != "quantiles" || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v: found the error %v, want %q", c.quantiles, err, c.want)
		}
	}
}

// As many points as there may be are not too many, and one more is.
func TestMostPoints(t *testing.T) {
	faultOf := func(points int, design Design) string {
		s := armsOfMen()
		s.Bodies, s.N, s.Design = false, 1, design
		if design == QuasiRandom {
			s.Points = points
		} else {
			values := make([]float64, points)
			for i := range values {
				values[i] = 0.1 * float64(i) / float64(points)
			}
			s.Axes[0].Values = values
		}
		if err := s.Check(); err != nil {
			return err.Error()
		}
		return ""
	}
	for design, field := range map[Design]string{QuasiRandom: "points", Grid: "axes"} {
		if got := faultOf(MostPoints, design); got != "" {
			t.Errorf("%s of the most points: %s", design, got)
		}
		if got := faultOf(MostPoints+1, design); !strings.HasPrefix(got, field) {
			t.Errorf("%s of one more: %q, want a fault of %s", design, got, field)
		}
	}
	if got := faultOf(0, QuasiRandom); !strings.HasPrefix(got, "points") {
		t.Errorf("no points: %q", got)
	}
}
