// Package anthro draws people: body measurements that go together as they do
// in a surveyed population.
//
// A Population is a Gaussian copula. Each measurement has a Marginal, a smooth
// increasing function that turns a standard normal score into a value, and the
// scores of one person are correlated. A Sampler fills columns of People from
// any source of independent standard normals, so the same normals give the same
// people. A Selection keeps only the people whose measurements, or ratios of
// them, lie in given ranges. A Person is what is left of the population once some
// measurements of one person are known: it is refused where they cannot or
// hardly ever go together, draws what is not known, and says what to measure
// next.
//
// Few measured people of one's own, a Sample, are no basis for distributions: they
// are kept as they are and resampled, and what was not measured on each is drawn
// as of a Person. Reweight takes the people of a survey so that quantities have
// stated means.
//
// The package knows bodies only by what a tape and a scale read off them: what
// those measurements mean for joints and segments is not decided here. Ages
// go along with the measurements, but nobody grows older.
package anthro
