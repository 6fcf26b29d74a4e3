package repeat

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"path/filepath"
	"slices"

	claims "counterpoise/internal/app/claim"
	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/app/output"
	"counterpoise/internal/app/people"
	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/table"
	"counterpoise/sim/claim"
)

// ofDraws reports whether the file is a claim's table of draws, rather than of bodies.
func (m *made) ofDraws() (bool, error) {
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

// claimAgain tests a claims.
func (m *made) claimAgain(ctx context.Context, env *console.Environment, folder string, workers int) (string, error) {
	c, o, err := claims.ClaimOf(&m.stamp)
	if err != nil {
		return "", console.Input(fmt.Errorf("%s: %w", m.path, err))
	}
	if err := m.finder().Claim(c.People); err != nil {
		return "", console.Input(fmt.Errorf("%s: %w", m.path, err))
	}
	o.Workers = workers
	bar := console.NewProgress(env.Stderr)
	o.Progress = bar.Update
	t := &claims.Tested{Options: o}
	draws, err := m.ofDraws()
	if err != nil {
		return "", err
	}
	bodies := filepath.Join(folder, "bodies.parquet")
	if m.text == nil && !draws {
		t.Options.Others = nil // of whom a table of bodies tells nothing
		t.Options.Open = func(layout claim.Layout, rows int) (claim.Sink, error) {
			stamp, err := claims.StampOf(c, o, rows)
			if err != nil {
				return nil, err
			}
			return output.NewTableSink(bodies, layout, stamp)
		}
	}
	t.Result, err = outcome.Test(ctx, c, t.Options)
	bar.Done()
	if err != nil {
		return "", console.Classify(err)
	}
	if m.text == nil && !draws {
		return bodies, nil
	}
	if err := t.Summarise(); err != nil {
		return "", err
	}
	if draws {
		table := filepath.Join(folder, claims.DrawsFile)
		return table, t.WriteDraws(table)
	}
	if m.page != nil {
		return filepath.Join(folder, flags.EvidencePage), t.WritePage(folder, m.page.Above, m.page.Language)
	}
	summary := filepath.Join(folder, "summary.json")
	return summary, provenance.WriteFile(summary, t.Summary)
}

// peopleAgain draws people.
func (m *made) peopleAgain(ctx context.Context, env *console.Environment, folder string, workers int) (string, error) {
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
		return "", console.Input(fmt.Errorf("%s: the people in it cannot be read: %w", m.path, err))
	}
	p, err := m.finder().Load(drawn.People)
	if err != nil {
		return "", console.Input(fmt.Errorf("%s: %w", m.path, err))
	}
	o := &flags.Common{N: flags.Count(drawn.N), Seed: flags.Seed(m.stamp.Seed), Workers: flags.Count(workers), Out: flags.Path(folder)}
	err = people.RunPeopleDraw(ctx, env, o, p, &flags.Chosen{Where: drawn.Where, Targets: [...][]string{drawn.Means, drawn.SDs, drawn.Shares}})
	return filepath.Join(folder, "people.parquet"), err
}
