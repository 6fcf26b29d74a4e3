package study

import (
	"strings"
	"testing"

	"counterpoise/sim/hold"
)

// posed is a claim over a hold with variants of its pose; the tests alter it.
const posed = `claim: mine
says: Feet up is heavier.
hold: push-up
pose: {hands_raised: 20 cm}
people: ansur2-men
change: {pose: {hands_raised: 0 cm, feet_raised: 61 cm}}
quantity: hand_share
expect: increase
matters: 0.02 BW
`

func pose(set map[hold.Variant]float64) (p hold.Pose) {
	for v, value := range set {
		p[v] = value
	}
	return p
}

func TestPoses(t *testing.T) {
	for _, c := range []struct {
		old, next    string
		first, after hold.Pose
	}{
		{"", "", pose(map[hold.Variant]float64{hold.HandsRaised: 0.2}), pose(map[hold.Variant]float64{hold.FeetRaised: 0.61})},
		// What the change does not name stays.
		{"hands_raised: 0 cm, ", "bent: yes, ", pose(map[hold.Variant]float64{hold.HandsRaised: 0.2}), pose(map[hold.Variant]float64{hold.HandsRaised: 0.2, hold.FeetRaised: 0.61, hold.Bent: 1})},
		{"{hands_raised: 20 cm}", "{bent: yes, kneeling: no}", pose(map[hold.Variant]float64{hold.Bent: 1}), pose(map[hold.Variant]float64{hold.Bent: 1, hold.FeetRaised: 0.61})},
		{"{hands_raised: 20 cm}\n", "{bent: yes}\n", pose(map[hold.Variant]float64{hold.Bent: 1}), pose(map[hold.Variant]float64{hold.Bent: 1, hold.FeetRaised: 0.61})},
		{"pose: {hands_raised: 20 cm}\n", "", hold.Pose{}, pose(map[hold.Variant]float64{hold.FeetRaised: 0.61})},
	} {
		text := strings.Replace(posed, c.old, c.next, 1)
		got := read(t, text)
		if got.Pose != c.first || got.Change.Pose == nil || *got.Change.Pose != c.after {
			t.Errorf("%q for %q: read as %v, then %v", c.next, c.old, got.Pose, got.Change.Pose)
		}
	}
	// A no takes a yes back; angles and other lengths; the order of fields is free.
	c := read(t, strings.NewReplacer("{hands_raised: 20 cm}", "{bent: yes}", "{hands_raised: 0 cm, feet_raised: 61 cm}", "{bent: no}").Replace(posed))
	if !c.Pose.Is(hold.Bent) || c.Change.Pose.Is(hold.Bent) {
		t.Errorf("read as %v, then %v", c.Pose, c.Change.Pose)
	}
	c = read(t, strings.NewReplacer("hold: push-up\n", "", "matters: 0.02 BW\n", "matters: 1 %\nhold: iron-cross\n", "pose: {hands_raised: 20 cm}\n", "", "hands_raised: 0 cm, feet_raised: 61 cm", "arms_low: 12 deg", "hand_share", "shoulder_moment").Replace(posed))
	if got := c.Change.Pose[hold.ArmsLow]; !near(got, deg(12)) {
		t.Errorf("12 deg is read as %g", got)
	}
}

func TestFaultsOfPoses(t *testing.T) {
	for _, c := range []struct{ old, next, want string }{
		{"hands_raised: 20 cm", "hand_raised: 20 cm", "f:4: pose.hand_raised: unknown field (did you mean hands_raised?); allowed: bent, kneeling, feet_raised, hands_raised"},
		{"feet_raised: 61 cm", "feet_raised: 61", `f:6: change.pose.feet_raised: "61": a length needs its unit: write "172 cm" or "5 ft 8 in"`},
		{"feet_raised: 61 cm", "feet_raised: 61 deg", `f:6: change.pose.feet_raised: "61 deg": "deg" is the unit of an angle, but a length is needed here: write "172 cm" or "5 ft 8 in"`},
		{"feet_raised: 61 cm", "feet_raised: 610 cm", "f:6: change.pose.feet_raised: 610 cm is not possible, allowed: 0 to 70 cm"},
		{"feet_raised: 61 cm", "feet_raised: -1 cm", "f:6: change.pose.feet_raised: -1 cm is not possible, allowed: 0 to 70 cm"},
		{"hands_raised: 20 cm", "bent: true", `f:4: pose.bent: unknown name "true" (did you mean yes?); allowed: yes, no`},
		{"hands_raised: 20 cm", "bent: 90 deg", `f:4: pose.bent: unknown name "90 deg"; allowed: yes, no`},
		{"hands_raised: 20 cm", "bent: ", "f:4: pose.bent: has no value"},
		{"hands_raised: 20 cm", "wall_distance: 20 cm", "f:4: pose.wall_distance: push-up has no wall_distance; it has bent, kneeling, feet_raised, hands_raised"},
		{"hands_raised: 20 cm", "one_arm: no", "f:4: pose.one_arm: push-up has no one_arm; it has bent, kneeling, feet_raised, hands_raised"},
		{"{hands_raised: 20 cm}", "bent", "f:4: pose: must be a mapping of fields, found a single value"},
		{"{hands_raised: 0 cm, feet_raised: 61 cm}", "{hands_raised: 20 cm}", "f:6: change.pose: changes nothing: the first body is held in the same way"},
		{"{hands_raised: 0 cm, feet_raised: 61 cm}", "{kneeling: no}", "f:6: change.pose: changes nothing: the first body is held in the same way"},
		{"{hands_raised: 0 cm, feet_raised: 61 cm}", "{}", "f:6: change.pose: changes nothing: the first body is held in the same way"},
		{"push-up", "l-sit", "f:4: pose.hands_raised: l-sit has no hands_raised, nor any other variant of its pose\nf:6: change.pose.hands_raised: l-sit has no hands_raised, nor any other variant of its pose\nf:6: change.pose.feet_raised: l-sit has no feet_raised, nor any other variant of its pose"},
		{"push-up\npose: {hands_raised: 20 cm}", "l-sit\npose: {high: 3 cm}", "f:4: pose.high: unknown field; l-sit has no variants of its pose\nf:6: change.pose.hands_raised: l-sit has no hands_raised, nor any other variant of its pose\nf:6: change.pose.feet_raised: l-sit has no feet_raised, nor any other variant of its pose"},
		{"push-up\npose: {hands_raised: 20 cm}", "wall-handstand\npose: {wall_distance: 0 cm}", "f:4: pose.wall_distance: 0 cm is not possible, allowed: 2 to 120 cm\nf:6: change.pose.hands_raised: wall-handstand has no hands_raised; it has one_arm, wall_distance\nf:6: change.pose.feet_raised: wall-handstand has no feet_raised; it has one_arm, wall_distance"},
		{"push-up\npose: {hands_raised: 20 cm}", "iron-cross\npose: {arms_low: 81 deg}", "f:4: pose.arms_low: 81 deg is not possible, allowed: 0 to 60 deg\nf:6: change.pose.hands_raised: iron-cross has no hands_raised; it has arms_low, rings_apart, cable_length\nf:6: change.pose.feet_raised: iron-cross has no feet_raised; it has arms_low, rings_apart, cable_length"},
		// An unknown hold is one fault, whatever stands in the pose.
		{"push-up", "push_up", lists().Replace(`f:3: hold: unknown name "push_up" (did you mean push-up?); allowed: <holds>`)},
		{"change: {pose:", "tilt: 5 deg\nchange: {legs: tuck, pose:", "f:6: tilt: push-up is not tilted, leave this out\nf:7: change.legs: push-up cannot be done with the legs tuck; allowed: together"},
		{"quantity: hand_share\n", "posture: same_spacing\nquantity: hand_share\n", "f:7: posture: push-up leaves no choice of posture: leave this out or write best"},
		{"change: {pose:", "change: {hand_spacing: +5 cm, pose:", "f:6: change: push-up leaves no choice of arm position: leave out arm_angle and hand_spacing"},
		{"quantity: hand_share\n", "", `f:8: matters: found "0.02 BW", but difficulty is a ratio and has no unit: write a share of it, as in 1 %, or name a quantity that has one, as in quantity: required_force`},
		{"hand_share", "wall_push", "f:7: quantity: push-up has no wall_push; it has required_force, difficulty, shoulder_moment, waist_moment, lean_angle, hand_share, foot_share, push_lean, elbow_moment, wrist_moment, wrist_angle, use_of_shoulder_flexion, use_of_shoulder_extension, use_of_elbow_flexion, use_of_elbow_extension, use_of_waist_forward, use_of_waist_backward, use_of_arm_push"},
		{"hand_share", "hand_share\nmodels: [two-condition]", "f:8: models: push-up is not computed under two-condition, only under equilibrium"},
	} {
		if !strings.Contains(posed, c.old) {
			t.Fatalf("the claim has no %q", c.old)
		}
		_, err := ReadClaim("f", []byte(strings.Replace(posed, c.old, c.next, 1)))
		if err == nil || err.Error() != c.want {
			t.Errorf("%q for %q:\n got %v\nwant %s", c.next, c.old, err, c.want)
		}
	}
}

func TestReasonOfNoEffect(t *testing.T) {
	if c := read(t, posed+"no_effect_because: >\n  Such\n  is it.\n"); c.Reason != "Such is it." {
		t.Errorf("read as %q", c.Reason)
	}
}
