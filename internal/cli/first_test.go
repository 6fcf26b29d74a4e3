package cli

import (
	"fmt"
	"strings"
	"testing"

	"counterpoise/internal/app/console"
	"counterpoise/internal/holds"
)

// banished are terms that no first screen has, because a coach would stumble over them.
var banished = []string{
	"rank correlation", "pooled", "of draws", "the draws", "central assumptions", "BW·m", "as claimed", "99 %", "equilibrium", "Shapley", "elasticity",
	"acromial", "trochanterion", "cervicale", "biacromial", "residual", "two-condition", "5–95 %", "NaN", "Inf", "%!",
}

// A first screen has at most twelve lines of at most 96 characters, in a coach's words, and
// says that it is an estimate.
func TestFirstScreens(t *testing.T) {
	quick := []string{"--n", "2000", "--assumption-draws", "256"}
	screens := [][]string{
		append([]string{"claim", "test", "longer-arms"}, quick...),
		append([]string{"claim", "test", "front-lever-tuck"}, quick...),
		append([]string{"claim", "test", "push-up-knees"}, quick...),
		append([]string{"claim", "test", "tall-people"}, quick...),
		append([]string{"claim", "test", "larger-body-force"}, quick...),
		{"person", clubNight + "/dagny.yaml", "--n", "2000"},
		{"person", clubNight + "/farah.yaml", "--n", "2000", "--units", "imperial"},
		{"person", clubNight, "--n", "1000"},
		{"readiness", clubNight + "/cheng.yaml", "--n", "2000"},
		driversArgs("--worth"),
		driversArgs(),
	}
	for _, h := range holds.All() {
		screens = append(screens, []string{"hold", "show", h.Name}, []string{"person", personFile(t, fmt.Sprintf(sized, h.Name)), "--n", "1000"})
	}
	for _, args := range screens {
		code, stdout, stderr := call(args...)
		if code != console.ExitDone && code != console.ExitUndecided {
			t.Errorf("%v: code %d, %s", args, code, stderr)
			continue
		}
		lines := strings.Split(strings.TrimSuffix(stdout, "\n"), "\n")
		if many := args[0] == "person" && args[1] == clubNight; len(lines) > 12 && !many {
			t.Errorf("%v: %d lines:\n%s", args, len(lines), stdout)
		}
		for _, line := range lines {
			if len([]rune(line)) > 96 {
				t.Errorf("%v: a line of %d characters: %s", args, len([]rune(line)), line)
			}
		}
		for _, word := range banished {
			if strings.Contains(strings.Join(strings.Fields(stdout), " "), word) && !strings.Contains(stdout, "(median, ") {
				t.Errorf("%v: says %q:\n%s", args, word, stdout)
			}
		}
		if !strings.Contains(stdout, "An estimate, no medical or training advice") || !strings.Contains(stdout, "--full") {
			t.Errorf("%v: no caution, or no word of what else there is:\n%s", args, stdout)
		}
	}
}
