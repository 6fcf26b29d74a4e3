#!/bin/bash
# CPU seconds (user and system) of a sweep in one run and in 64 shards with gather,
# one after the other on one core each. Usage: overhead.sh counterpoise [n]
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
program=$1
n=${2:-200000}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
TIMEFORMAT='%U %S'
cpu() { { time "$@" >/dev/null 2>&1; } 2>&1 | awk '{print $1 + $2}'; }
shards() {
	for i in $(seq 64); do "$program" sweep "$here/sweep.yaml" --n "$n" --workers 1 --out "$scratch/shards" --shard "$i/64"; done
	"$program" gather "$scratch/shards" --workers 1
}
for round in 1 2 3; do
	rm -rf "$scratch/one" "$scratch/shards"
	one=$(cpu "$program" sweep "$here/sweep.yaml" --n "$n" --workers 1 --out "$scratch/one")
	many=$(cpu shards)
	diff -r "$scratch/one" "$scratch/shards"
	echo "round $round: one run $one s, 64 shards and gather $many s, ratio $(awk "BEGIN { printf \"%.3f\", $many / $one }")"
done
