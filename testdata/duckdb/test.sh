#!/bin/sh
# Has DuckDB read what the program writes. Needs npm, which fetches DuckDB.
# Usage: test.sh PROGRAM
set -eu
here=$(cd "$(dirname "$0")" && pwd)
program=$1
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
cp "$here/package.json" "$here/check.mjs" "$scratch"
(cd "$scratch" && npm install --no-audit --no-fund --silent)
cat >"$scratch/sweep.yaml" <<'YAML'
sweep: for-duckdb
model: equilibrium
people: {from: [ansur2-men, ansur2-women]}
demands: [waist_moment, hand_spacing, difficulty]
n: 3000
bodies: yes
axes:
  hold: [human-flag, front-lever]
  change.leg_length: [-5 %, 0 %, +4 %]
  legs.angle: 0 deg..40 deg by 20 deg
YAML
"$program" sweep "$scratch/sweep.yaml" --out "$scratch/parquet" >/dev/null
"$program" sweep "$scratch/sweep.yaml" --out "$scratch/csv" --format csv >/dev/null
"$program" claim test straddle --n 20000 --assumption-draws 0 --out "$scratch/claim" >/dev/null
node "$scratch/check.mjs" "$scratch/parquet" "$scratch/csv" "$scratch/claim" "$here/../../notebooks"
