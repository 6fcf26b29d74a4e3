package words

// The first screen of a command is at most twelve lines that can be said aloud: the
// answer, how large and how sure, what to tell, and what to do next. All else is behind
// --full.

// Caution is the shortest form of Cautions, for a first screen, which names where the
// rest is.
const Caution = "An estimate, no medical or training advice: progress gradually, with a coach. More: --full"

// Strap says under the program's name what it is.
const Strap = "simulated bodies drawn from surveys"

// NotValidated stands under every number about a hold for which no measured
// force has been published.
const NotValidated = "Model estimate, not validated by measured forces."

// CautionYoung is of those who still grow.
const CautionYoung = "Loads that adult bones can take may hurt the growth plates of children and youths: let a coach and a clinician decide, and practise such holds under supervision."

// Cautions are printed wherever somebody might act on a number.
const Cautions = "A statics estimate is not medical or training advice. Straight-arm holds load shoulders, elbows and wrists: " +
	"progress gradually, and with a qualified coach or clinician where there is pain or a history of injury. " +
	CautionYoung + " " +
	"A pole or bar must be rated for the load and installed to local code by a competent person."

// ReuseAddress is where the licence can be read under which what the program writes may be
// used again, CC BY 4.0.
const ReuseAddress = "https://creativecommons.org/licenses/by/4.0/"
