// Package sim has no code of its own. It stands at the head of the library: the packages
// below it draw bodies from open surveys, hold them up by plane statics, and judge sayings
// about static bodyweight holds. METHODS.md derives what they compute, VALIDATION.md says
// what it was checked against. testdata/outside is a program in a module of its own, with
// people, a hold and a change of its own; each task is an example of its package:
//
//	people → verdict       claim.Test
//	your own hold          outline, and hold for one in closed form
//	one person             person.Answer
//	a grid of changes      sweep.Run
//	what matters most      drivers.Shapley, of any function; scenario/scores of a hold
//	your own people        anthro.NewSample, anthro.Selection.Reweight
//	one step at a time     scenario, from people to bodies to demands
//
// The way of the data:
//
//	anthro    who: people drawn from a survey, all of them or those who resemble somebody
//	body      which body: lengths, masses, centres; and what a change makes of it
//	hold      what the hold demands of it; outline makes holds from a description
//	strength  how strong an untrained adult of that size is
//	verdict   the rule by which a claim is judged, for effects of any origin
//	scenario  people × change × hold × posture × model × assumptions, checked and run
//	claim, person, sweep, drivers   the four studies
//
// # What stays the same
//
// The library has not been released; until version 1.0 a name may change, and CHANGELOG.md
// then says from what to what. From 1.0 on the Go rule holds: what is exported keeps its
// name and meaning within a major version. In all versions
//
//   - lengths are metres, masses kilograms, angles radians; forces are body weights (BW) and
//     moments BW·m, and g is 9.80665 m/s²;
//   - the same version, study and seed give the same numbers to the last bit on every
//     processor, whatever the number of workers; a version that changes a number says so in
//     CHANGELOG.md;
//   - a study that makes no sense is an error that names the field, a line for each fault; a panic is a
//     mistake of the program that calls;
//   - nothing below sim prints, reads the environment or the network, or a file but the one
//     whose path anthro.Load is given for people; or imports anything outside the standard
//     library but gonum.
package sim
