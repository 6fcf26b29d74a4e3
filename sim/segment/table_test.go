package segment

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
)

var sexes = []anthro.Sex{anthro.Male, anthro.Female}

func load(t *testing.T, name string, sex anthro.Sex) *Table {
	t.Helper()
	return golden.Must(Load(name, sex))(t)
}

// row finds "segment origin-other".
func row(t *testing.T, table *Table, text string) Row {
	t.Helper()
	at := strings.LastIndex(text, " ")
	origin, other, _ := strings.Cut(text[at+1:], "-")
	r, ok := table.Row(text[:at], origin, other)
	if !ok {
		t.Fatalf("%s, %s: no row %s", table.Name, table.Sex, text)
	}
	return r
}

func TestEveryTableMakesSense(t *testing.T) {
	for _, name := range Names() {
		for _, sex := range sexes {
			table := load(t, name, sex)
			if table.Name != name || table.Title == "" || table.Citation == "" || table.Sample == "" || table.Sex != sex {
				t.Errorf("%s, %s: name, title, citation, sample or sex missing", name, sex)
			}
			seen := map[string]bool{}
			for _, r := range table.Rows {
				key := fmt.Sprint(r.Name, r.Endpoints)
				if seen[key] {
					t.Errorf("%s, %s: %s comes twice", name, sex, key)
				}
				seen[key] = true
				if !(r.MassShare > 0 && r.MassShare < 1) {
					t.Errorf("%s, %s: %s has mass share %g", name, sex, key, r.MassShare)
				}
				if r.CentreShare <= 0 || r.CentreShare > 1 || r.Length <= 0 || r.Length > 1 {
					t.Errorf("%s, %s: %s has centre %g, length %g", name, sex, key, r.CentreShare, r.Length)
				}
				for _, landmark := range r.Endpoints {
					if _, ok := table.Landmarks[landmark]; !ok && (landmark != "" || !math.IsNaN(r.CentreShare)) {
						t.Errorf("%s, %s: landmark %q of %s is not explained", name, sex, landmark, r.Name)
					}
				}
			}
		}
	}
}

func TestLoadUnknownListsTheNames(t *testing.T) {
	_, err := Load("de-leva", anthro.Male)
	if err == nil {
		t.Fatal("no error")
	}
	for _, name := range Names() {
		if !strings.Contains(err.Error(), name) {
			t.Errorf("error %q does not name %s", err, name)
		}
	}
}

// The shares of a whole body, as printed: de Leva 1996 100.00 % and 99.99 %,
// Dumas et al. 2007 100.2 % and 99.9 %, Winter's table 100 %.
func TestMassSharesOfAWholeBody(t *testing.T) {
	for _, test := range []struct {
		name        string
		sex         anthro.Sex
		once, twice string
		want        float64
	}{
		{"deleva-1996", anthro.Male, "head VERT-MIDG, trunk SUPR-MIDH", "upper arm SJC-EJC, forearm EJC-WJC, hand WJC-MET3, thigh HJC-KJC, shank KJC-LMAL, foot HEEL-TTIP", 1.0000},
		{"deleva-1996", anthro.Female, "head VERT-MIDG, trunk SUPR-MIDH", "upper arm SJC-EJC, forearm EJC-WJC, hand WJC-MET3, thigh HJC-KJC, shank KJC-LMAL, foot HEEL-TTIP", 0.9999},
		{"dempster-winter", anthro.Male, "head and neck C7T1-EAR, trunk GTR-SJC", "arm SJC-USTY, leg GTR-MMAL", 1},
		{"dempster-winter", anthro.Female, "trunk, head and neck GTR-SJC", "upper arm SJC-EJC, forearm EJC-USTY, hand WJC-KNU2, thigh GTR-KJC, shank KJC-MMAL, foot LMAL-MT2", 1},
		{"dumas-2007", anthro.Male, "head and neck -, thorax -, abdomen -, pelvis -", "upper arm SJC-EJC, forearm EJC-WJC, hand -, thigh HJC-KJC, shank KJC-AJC, foot -", 1.002},
		{"dumas-2007", anthro.Female, "head and neck -, thorax -, abdomen -, pelvis -", "upper arm SJC-EJC, forearm EJC-WJC, hand -, thigh HJC-KJC, shank KJC-AJC, foot -", 0.999},
	} {
		table := load(t, test.name, test.sex)
		sum := 0.0
		add := func(text string, times float64) {
			// A segment's own name may hold a comma: rows end in their landmarks.
			name := ""
			for _, part := range strings.Split(text, ", ") {
				name += part
				if strings.Contains(part, "-") {
					sum += times * row(t, table, name).MassShare
					name = ""
				} else {
					name += ", "
				}
			}
		}
		add(test.once, 1)
		add(test.twice, 2)
		if !(math.Abs(sum-test.want) <= 1e-12) {
			t.Errorf("%s, %s: mass shares add up to %.6f, want %g", test.name, test.sex, sum, test.want)
		}
	}
}

// de Leva 1996, Table 4: trunk parts against the whole, and the centre of mass
// of the trunk above the hips, one point whichever origin it is measured from.
func TestDeLevaTrunk(t *testing.T) {
	for _, test := range []struct {
		sex           anthro.Sex
		centre        float64 // above mid-hip, m
		rebuilt       float64 // centre from the three parts, share of the trunk
		printed       float64
		printedToHalf float64
	}{
		// In men the parts' common centre is 2.9 mm from the printed one: that is
		// in the source (parts and whole were adjusted separately).
		{anthro.Male, 0.2933, 0.4541, 0.4486, 0.00005},
		{anthro.Female, 0.3096, 0.4151, 0.4151, 0.00005},
	} {
		table := load(t, "deleva-1996", test.sex)
		trunk := row(t, table, "trunk SUPR-MIDH")
		var mass, length, moment float64
		for _, part := range []string{"upper trunk SUPR-XYPH", "middle trunk XYPH-OMPH", "lower trunk OMPH-MIDH"} {
			r := row(t, table, part)
			moment += r.MassShare * (length + r.CentreShare*r.Length)
			mass += r.MassShare
			length += r.Length
		}
		if !(math.Abs(mass-trunk.MassShare) <= 1e-12) || !(math.Abs(length-trunk.Length) <= 1e-12) {
			t.Errorf("%s: the trunk's parts have %.4f of the mass on %.4f m, the trunk %.4f on %.4f m", test.sex, mass, length, trunk.MassShare, trunk.Length)
		}
		if got := moment / mass / length; !(math.Abs(got-test.rebuilt) <= test.printedToHalf) {
			t.Errorf("%s: centre of the trunk's parts at %.5f, want %.4f", test.sex, got, test.rebuilt)
		}
		if !(math.Abs(trunk.CentreShare-test.printed) <= 1e-12) {
			t.Errorf("%s: printed centre of the trunk at %.4f, want %.4f", test.sex, trunk.CentreShare, test.printed)
		}
		for _, text := range []string{"trunk SUPR-MIDH", "trunk CERV-MIDH", "trunk MIDS-MIDH"} {
			r := row(t, table, text)
			if got := (1 - r.CentreShare) * r.Length; !(math.Abs(got-test.centre) <= 0.00005) {
				t.Errorf("%s, %s: centre %.5f m above mid-hip, want %.4f", test.sex, text, got, test.centre)
			}
		}
	}
}

// The distance of the centre of mass from the first endpoint must not depend on
// the other endpoint; the printed digits allow half a unit of 0.01 % of length
// and of 0.1 mm from either row.
func TestDeLevaCentreIsOnePoint(t *testing.T) {
	for _, sex := range sexes {
		table := load(t, "deleva-1996", sex)
		for _, pair := range [][2]string{
			{"head VERT-MIDG", "head VERT-CERV"},
			{"forearm EJC-WJC", "forearm EJC-STYL"},
			{"hand WJC-MET3", "hand WJC-DAC3"},
			{"hand STYL-MET3", "hand STYL-DAC3"},
			{"shank KJC-LMAL", "shank KJC-AJC"},
			{"shank KJC-LMAL", "shank KJC-SPHY"},
			{"shank KJC-AJC", "shank KJC-SPHY"},
		} {
			a, b := row(t, table, pair[0]), row(t, table, pair[1])
			slack := 0.00005*(a.Length+b.Length) + 0.00005*(a.CentreShare+b.CentreShare)
			if d := a.CentreShare*a.Length - b.CentreShare*b.Length; !(math.Abs(d) <= slack) {
				t.Errorf("%s: centres of %s and %s are %.5f m apart, rounding allows %.5f", sex, pair[0], pair[1], d, slack)
			}
			if a.MassShare != b.MassShare {
				t.Errorf("%s: %s and %s differ in mass", sex, pair[0], pair[1])
			}
		}
	}
}

// Winter's table closes on itself.
func TestDempsterWinterCompounds(t *testing.T) {
	table := load(t, "dempster-winter", anthro.Male)
	for _, test := range []struct {
		whole string
		parts []string
	}{
		{"head, arms and trunk GTR-SJC", []string{"trunk, head and neck GTR-SJC", "arm SJC-USTY", "arm SJC-USTY"}},
		{"trunk, head and neck GTR-SJC", []string{"trunk GTR-SJC", "head and neck C7T1-EAR"}},
		{"trunk GTR-SJC", []string{"thorax C7T1-T12L1", "abdomen T12L1-L4L5", "pelvis L4L5-GTR"}},
		{"thorax and abdomen C7T1-L4L5", []string{"thorax C7T1-T12L1", "abdomen T12L1-L4L5"}},
		{"abdomen and pelvis T12L1-GTR", []string{"abdomen T12L1-L4L5", "pelvis L4L5-GTR"}},
		{"arm SJC-USTY", []string{"upper arm SJC-EJC", "forearm EJC-USTY", "hand WJC-KNU2"}},
		{"forearm and hand EJC-USTY", []string{"forearm EJC-USTY", "hand WJC-KNU2"}},
		{"leg GTR-MMAL", []string{"thigh GTR-KJC", "shank KJC-MMAL", "foot LMAL-MT2"}},
		{"foot and shank KJC-MMAL", []string{"shank KJC-MMAL", "foot LMAL-MT2"}},
	} {
		sum := 0.0
		for _, part := range test.parts {
			sum += row(t, table, part).MassShare
		}
		if whole := row(t, table, test.whole).MassShare; !(math.Abs(sum-whole) <= 1e-12) {
			t.Errorf("%s: parts have %.4f of the mass, the whole %.4f", test.whole, sum, whole)
		}
	}
}

func ExampleLoad() {
	table, err := Load("deleva-1996", anthro.Female)
	if err != nil {
		fmt.Println(err)
		return
	}
	thigh, _ := table.Row("thigh", "HJC", "KJC")
	fmt.Printf("one thigh: %.2f %% of body mass, centred %.1f %% of the way from %s to %s\n",
		100*thigh.MassShare, 100*thigh.CentreShare, table.Landmarks["HJC"], table.Landmarks["KJC"])
	// Output: one thigh: 14.78 % of body mass, centred 36.1 % of the way from hip joint centre to knee joint centre
}
