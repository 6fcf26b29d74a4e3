package cli

import (
	"errors"

	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/person"
)

// resolvePersons reads the persons whose bodies --worth is about, and whose people
// stand behind them.
func (o *driversOptions) resolvePersons() error {
	if o.persons == nil && len(o.person) == 0 {
		return nil
	}
	switch {
	case !o.worth || o.sobol != "" || o.full || o.screen || o.along != "":
		return input(errors.New("--person: it is for --worth only; everything else is about people"))
	case len(o.common.people) > 0:
		return input(errors.New("--people: with --person the people are those of the person's file; leave it out"))
	case len(o.where) > 0:
		return input(errors.New("--where: it chooses among people, and --person is about one; leave it out"))
	}
	if o.persons == nil {
		var err error
		if o.persons, err = study.LoadPersons(o.person); err != nil {
			return input(err)
		}
	}
	if err := distinctOwn(o.persons); err != nil {
		return err
	}
	for i := range o.persons {
		people, err := o.persons[i].People()
		if err != nil {
			return input(o.persons[i].Fault(err, words.Metric))
		}
		o.people = append(o.people, people.Survey())
	}
	return nil
}

// conditionPersons finds the median body of each person.
func (o *driversOptions) conditionPersons() error {
	options := person.DefaultOptions()
	options.Assumptions = o.assumptions
	var faults []error
	for i := range o.persons {
		p := &o.persons[i]
		body, err := person.Median(p.Person, options)
		if err != nil {
			faults = append(faults, p.Fault(err, words.Metric))
			continue
		}
		o.bodies = append(o.bodies, body)
	}
	if len(faults) > 0 {
		return input(errors.Join(faults...))
	}
	return nil
}
