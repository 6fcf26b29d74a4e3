#!/usr/bin/env bash
# Times the main job (bodies drawn, held up by equilibrium before and after, 20 float
# columns kept) against a careful NumPy program, in turn, five times. NumPy is given fewer
# bodies, as it takes long: what is compared is bodies a second.
#
#   testdata/bench/compare.sh SURVEY.csv [bodies] [NumPy's bodies] [python]
#
# SURVEY.csv is the raw file of the surveyed men. NumPy writes raw floats and looks for one
# optimum of the arms' angle and the hands' shares by a grid and golden sections; counterpoise
# draws women too and writes Parquet with provenance, and its charts and page.
set -euo pipefail
survey=$1 bodies=${2:-10000000} few=${3:-1000000} python=${4:-/usr/bin/python3}
here=$(cd "$(dirname "$0")" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
(cd "$here/../.." && go build -o "$work/counterpoise" ./cmd/counterpoise)
echo "# $bodies bodies, NumPy $few; $(nproc) processors, load average $(cut -d' ' -f1 /proc/loadavg) at the start"
for run in 1 2 3 4 5; do
	rm -rf "$work/out" "$work/raw"
	mkdir "$work/raw"
	/usr/bin/env time -f "counterpoise %e s wall, %U s user, %S s system, %M kB peak" "$work/counterpoise" claim test longer-arms \
		--people ansur2-men,ansur2-women --assumption-draws 0 --n "$bodies" --out "$work/out" 2>&1 >/dev/null | grep -v ' of '
	/usr/bin/env time -f "numpy        %e s wall, %U s user, %S s system, %M kB peak" "$python" "$here/numpy_equilibrium.py" "$survey" "$few" 2 --save "$work/raw" 2>&1
done
