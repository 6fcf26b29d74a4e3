#!/usr/bin/env bash
# Times first-order and total indices, with intervals, of 12 inputs, base sample
# 2^16, against OpenTURNS with a vectorised NumPy model, in turn, five times.
#
#   testdata/bench/drivers/compare.sh [log2 of the base sample] [python]
#
# Needs Debian's python3-openturns. Both time the work alone, not the start of
# the program.
set -euo pipefail
log2=${1:-16} python=${2:-/usr/bin/python3}
here=$(cd "$(dirname "$0")" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
(cd "$here/../../.." && go build -o "$work/crosscheck" ./internal/crosscheck)
for run in 1 2 3 4 5; do
	echo "counterpoise $("$work/crosscheck" -time "$log2" | sed -n 1p)"
	echo "openturns    $("$python" "$here/openturns_sobol.py" "$log2" | sed -n 1p)"
done
