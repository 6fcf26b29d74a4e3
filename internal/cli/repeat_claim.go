package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"path/filepath"
	"slices"

	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/table"
	"counterpoise/internal/words"
	"counterpoise/sim/assume"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// claimOf rebuilds a claim and how it was tested from where an outcome of it comes
// from.
func claimOf(stamp *provenance.Stamp) (*claim.Claim, claim.Options, error) {
	var resolved resolvedClaim
	var o claim.Options
	decoder := json.NewDecoder(bytes.NewReader(stamp.Study))
	decoder.DisallowUnknownFields() // a claim with a part left out would be another claim
	if err := decoder.Decode(&resolved); err != nil {
		return nil, o, fmt.Errorf("the claim in it cannot be read: %w", err)
	}
	quantity, ok := hold.ParseDemand(resolved.Quantity)
	if !ok {
		return nil, o, fmt.Errorf("the claim in it is about the unknown quantity %q", resolved.Quantity)
	}
	c, err := resolved.Claim.Claim(quantity)
	if err != nil {
		return nil, o, fmt.Errorf("the claim in it cannot be read: %w", err)
	}
	o = claim.Options{N: resolved.N, Seed: stamp.Seed, Draws: resolved.Draws, Others: resolved.Others}
	set, err := assumptionsOf(stamp)
	if err != nil {
		return nil, o, err
	}
	c.Assumptions = assume.Uncertainty{Centre: set, Low: set, High: set}
	for name, ends := range resolved.Uncertain {
		id, ok := assume.Parse(name)
		if !ok {
			return nil, o, fmt.Errorf("the assumption %s is not in this program", name)
		}
		c.Assumptions.Low[id], c.Assumptions.High[id] = words.AssumptionMeant(id, ends[0]), words.AssumptionMeant(id, ends[1])
	}
	return c, o, c.Check()
}

// assumptionsOf returns the values of all assumptions.
func assumptionsOf(stamp *provenance.Stamp) (assume.Set, error) {
	var set assume.Set
	for name, x := range stamp.Assumptions {
		id, ok := assume.Parse(name)
		if !ok {
			return set, fmt.Errorf("the assumption %s is not in this program", name)
		}
		set[id] = words.AssumptionMeant(id, x)
	}
	for id := range assume.Count {
		switch _, ok := stamp.Assumptions[id.String()]; {
		case !ok && id.Info().Choice:
			set[id] = assume.Chosen
		case !ok:
			return set, fmt.Errorf("this program has the assumption %s, which the file does not know", id)
		}
	}
	return set, nil
}

// ofDraws reports whether the file is a claim's table of draws, rather than of bodies.
func (m *output) ofDraws() (bool, error) {
	if m.text != nil {
		return false, nil
	}
	r, err := table.Open(m.path)
	if err != nil {
		return false, err
	}
	defer r.Close()
	return slices.ContainsFunc(r.Columns(), func(c table.Column) bool { return c.Name == "replicate" }), nil
}

// claimAgain tests a claim.
func (m *output) claimAgain(ctx context.Context, env *environment, folder string, workers int) (string, error) {
	c, o, err := claimOf(&m.stamp)
	if err != nil {
		return "", input(fmt.Errorf("%s: %w", m.path, err))
	}
	if err := m.finder().claim(c.People); err != nil {
		return "", input(fmt.Errorf("%s: %w", m.path, err))
	}
	o.Workers = workers
	bar := newProgress(env.stderr)
	o.Progress = bar.update
	t := &tested{options: o}
	draws, err := m.ofDraws()
	if err != nil {
		return "", err
	}
	bodies := filepath.Join(folder, "bodies.parquet")
	if m.text == nil && !draws {
		t.options.Others = nil // of whom a table of bodies tells nothing
		t.options.Open = func(layout claim.Layout, rows int) (claim.Sink, error) {
			stamp, err := stampOf(c, o, rows)
			if err != nil {
				return nil, err
			}
			return newTableSink(bodies, layout, stamp)
		}
	}
	t.result, err = outcome.Test(ctx, c, t.options)
	bar.done()
	if err != nil {
		return "", classify(err)
	}
	if m.text == nil && !draws {
		return bodies, nil
	}
	if err := t.summarise(); err != nil {
		return "", err
	}
	if draws {
		table := filepath.Join(folder, drawsFile)
		return table, t.writeDraws(table)
	}
	if m.page != nil {
		return filepath.Join(folder, pageName), t.writePage(folder, m.page.Above, m.page.Language)
	}
	summary := filepath.Join(folder, "summary.json")
	return summary, provenance.WriteFile(summary, t.summary)
}

// peopleAgain draws people.
func (m *output) peopleAgain(ctx context.Context, env *environment, folder string, workers int) (string, error) {
	var drawn struct {
		People string   `json:"people"`
		Where  []string `json:"where"`
		Means  []string `json:"means"`
		SDs    []string `json:"sds"`
		Shares []string `json:"shares"`
		N      int      `json:"n"`
	}
	decoder := json.NewDecoder(bytes.NewReader(m.stamp.Study))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&drawn); err != nil {
		return "", input(fmt.Errorf("%s: the people in it cannot be read: %w", m.path, err))
	}
	p, err := m.finder().load(drawn.People)
	if err != nil {
		return "", input(fmt.Errorf("%s: %w", m.path, err))
	}
	o := &common{n: count(drawn.N), seed: seed(m.stamp.Seed), workers: count(workers), out: path(folder)}
	err = runPeopleDraw(ctx, env, o, p, &chosen{where: drawn.Where, targets: [...][]string{drawn.Means, drawn.SDs, drawn.Shares}})
	return filepath.Join(folder, "people.parquet"), err
}
