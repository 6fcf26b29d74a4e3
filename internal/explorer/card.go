package explorer

import (
	"context"

	"counterpoise/internal/app/person/said"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
)

// CardRequest asks for somebody's card to print: of the human flag with the legs straight
// and together, whatever hold and legs the person has.
type CardRequest struct {
	Person Person `json:"person"`
	Draws  int    `json:"draws,omitempty"`
	Seed   *Seed  `json:"seed,omitempty"`
}

// Card is the card that the command makes of a club's athletes.
type Card struct {
	Faults []Fault        `json:"faults"`
	Texts  said.CardTexts `json:"texts"`
	Figure Figure         `json:"figure"` // at its best
}

func card(ctx context.Context, e *Explorer, q *CardRequest) (*Card, error) {
	f, p, o, err := begin(e, &q.Person, q.Draws, q.Seed)
	if err != nil {
		return nil, err
	}
	p.Hold, p.Legs, p.Pose, p.Tilt, p.Load, p.Tests = hold.HumanFlag, hold.Legs{}, hold.Pose{}, 0, body.Load{}, nil
	var c said.Card
	var median *person.MedianBody
	err = f.settle(&p, func() (err error) {
		c = said.Card{}
		if c.Result, err = person.Answer(ctx, p, o); err != nil {
			return err
		}
		if c.Ladder, err = person.Ladder(ctx, c.Result, said.RungLegs); err != nil {
			return err
		}
		median, err = person.NewMedianBody(p, o)
		return err
	})
	if err != nil {
		return nil, asRequest(err)
	}
	figure, err := figureOf(median, p.Hold, c.Primary().Model, hold.Best, 0, f.system)
	if err != nil {
		return nil, err
	}
	return &Card{f.all(), c.Texts(p.Name, f.system), *figure}, nil
}
