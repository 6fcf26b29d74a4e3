#!/usr/bin/env bash
# Times the main job (bodies drawn, held up before and after, 20 float columns
# kept) against a careful NumPy program, in turn, five times.
#
#   testdata/bench/compare.sh SURVEY.csv [bodies] [python]
#
# SURVEY.csv is the raw file of the surveyed men. NumPy writes raw floats,
# counterpoise Parquet with statistics and provenance.
set -euo pipefail
survey=$1 bodies=${2:-10000000} python=${3:-/usr/bin/python3}
here=$(cd "$(dirname "$0")" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
(cd "$here/../.." && go build -o "$work/counterpoise" ./cmd/counterpoise)
for run in 1 2 3 4 5; do
	rm -rf "$work/out" "$work/raw"
	mkdir "$work/raw"
	/usr/bin/env time -f "counterpoise %e s wall, %U s user, %S s system, %M kB peak" "$work/counterpoise" claim test longer-arms \
		--models two-condition --assumption-draws 0 --n "$bodies" --out "$work/out" 2>&1 >/dev/null | grep -v ' of '
	/usr/bin/env time -f "numpy        %e s wall, %U s user, %S s system, %M kB peak" "$python" "$here/numpy_baseline.py" "$survey" "$bodies" 2 --save "$work/raw" 2>&1
done
