package drivers

import (
	"errors"

	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/person"
)

// resolvePersons reads the persons whose bodies --worth is about, and whose people
// stand behind them.
func (o *driversOptions) resolvePersons() error {
	if o.Persons == nil && len(o.person) == 0 {
		return nil
	}
	switch {
	case !o.worth || o.sobol != "" || o.full || o.screen || o.along != "":
		return console.Input(errors.New("--person: it is for --worth only; everything else is about people"))
	case len(o.Common.People) > 0:
		return console.Input(errors.New("--people: with --person the people are those of the person's file; leave it out"))
	case len(o.where) > 0:
		return console.Input(errors.New("--where: it chooses among people, and --person is about one; leave it out"))
	}
	if o.Persons == nil {
		var err error
		if o.Persons, err = study.LoadPersons(o.person); err != nil {
			return console.Input(err)
		}
	}
	if err := flags.DistinctOwn(o.Persons); err != nil {
		return err
	}
	for i := range o.Persons {
		people, err := o.Persons[i].People()
		if err != nil {
			return console.Input(o.Persons[i].Fault(err, words.Metric))
		}
		o.people = append(o.people, people.Survey())
	}
	return nil
}

// conditionPersons finds the median body of each person.
func (o *driversOptions) conditionPersons() error {
	options := person.DefaultOptions()
	options.Assumptions = o.Assumptions
	var faults []error
	for i := range o.Persons {
		p := &o.Persons[i]
		body, err := person.Median(p.Person, options)
		if err != nil {
			faults = append(faults, p.Fault(err, words.Metric))
			continue
		}
		o.bodies = append(o.bodies, body)
	}
	if len(faults) > 0 {
		return console.Input(errors.Join(faults...))
	}
	return nil
}
