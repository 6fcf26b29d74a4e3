// Package explorer answers the questions of the explore page: what the holds and
// measurements are, what a hold asks of a person, how it looks at another arm
// angle, and what a change of the body or of the pose does to it.
//
// A question is a name and a JSON object, an answer is a JSON object; Explorer.Ask
// knows no transport. A server on the loopback address passes questions on over
// HTTP, a worker does with the same code as WebAssembly, and a page cannot tell
// them apart but by their speed.
//
// # Interface
//
// Every answer to a question that could be read is an object of the type named
// below. What could not be read (no JSON, an unknown field) gives
//
//	{"error": {"field": "draws", "reason": "found 12, must be 1000 to 20000"}}
//
// Whatever people type goes over as text, "168 cm ± 0.5 cm" or "5 ft 6 in" or a
// bare "168" or "168,5" with a decimal comma, which is in cm, kg, deg and s, or in inches and pounds where units is
// "imperial". What is wrong with a field comes back in faults, one entry a field, by
// the path of the field in the request ("person.measurements.stature",
// "person.pose.feet_raised"), with a sentence. A field with a fault is left out of
// the computation, and the rest is answered (complete is false then); only without a
// sex, or with none of the hold's names, there is no answer.
//
// Lengths are in metres, masses in kilograms, angles in degrees (names end in _deg),
// forces in newtons or body weights (BW), moments in N·m or BW·m, shares and
// percentiles from 0 to 1. A value that there is not is null or left out. Beside the
// numbers stand their texts, in the units asked for: a page writes no number by itself. Points are
// [x, y] in metres, y up.
//
//	catalogue {}                    → Catalogue
//
//	answer    {"person": {"sex": "female", "units": "metric", "hold": "human-flag",
//	                      "measurements": {"stature": "168 cm ± 0.5 cm", "mass": "61", "span": ""},
//	                      "scan": {"arms": "6.4 kg", "legs": "21 kg", "trunk": "29.1 kg", "head": "4.5 kg"},
//	                      "legs": {"form": "straddle", "angle": "40"}, "tilt": "", "pose": {},
//	                      "load": {"chest": "10 kg", "hips": "-20"},
//	                      "tests": [{"test": "one_arm_hang", "side": "left", "held": "20", "added": "5 kg"},
//	                                {"test": "one_arm_handstand", "held": "8 s", "fingers": "6", "wall_distance": "20"},
//	                                {"test": "scale", "side": "right", "hand": "up", "angle": "135", "reads": "9 kg"}]},
//	           "models": ["equilibrium"], "draws": 2000, "seed": "1"}
//	          → Answer {"faults": [], "complete": true, "summary": {…}, "curves": [{"model": "equilibrium",
//	             "angle_deg": […], "peak": […], "body_low": […], …}], "words": {"headline": "…", …}}
//
//	pose      {"person": {…}, "model": "equilibrium", "angle_deg": 43}        or "spacing_m": 0.95, or neither: the best
//	          → Pose {"faults": [], "figure": {"possible": true, "angle_deg": 43, "spacing_m": 0.97, "bones": […], …}}
//
//	change    {"person": {…}, "model": "equilibrium", "draws": 2000, "seed": "1",
//	           "change": {"arm_length": "+5", "mass": [{"region": "trunk", "kilograms": "-3", "working_share": 0}],
//	                      "load": {"ankles": "2"}, "legs": {"form": "tuck"}}}
//	          → Comparison {"faults": [], "quantities": [{"quantity": "difficulty", "before": {…}, "after": {…},
//	             "effect": {…}, "easier_share": 0.97}], "before": {figure}, "after": {figure}, "words": {…}}
//
//	card      {"person": {…, "name": "Ana"}, "draws": 20000}
//	          → Card {"faults": [], "texts": {"title": "Ana: hands 120 cm (47 in) apart", "says": […], …}, "figure": {…}}
//
//	convert   {"from": "metric", "to": "imperial", "typed": [{"kind": "length", "text": "168 ± 0.5"}]}
//	          → Converted {"texts": ["5 ft 6.1 in ± 0.2 in"]}
//
//	sayings   {}                    → Sayings {"sayings": [{"name": "longer-arms", "says": "…", "verdict": "…",
//	             "headline": "…", "page": "sayings/longer-arms.html"}]}
//
// The fields of each are described at the Go types of these names. Same question,
// same answer, to the bit, on the same transport; over HTTP and WebAssembly the
// numbers agree to a relative 1e-12.
package explorer
