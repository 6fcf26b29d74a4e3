#!/usr/bin/env bash
# Times the main job (bodies drawn, held up before and after, 20 float columns
# kept as Parquet) for more and more bodies, in turn, three times: how time
# grows with them, and that memory does not.
#
#   testdata/bench/linear.sh [bodies...] > testdata/bench/linear.txt
#
# 10^8 bodies need 6 GB in $TMPDIR, which are removed again.
set -euo pipefail
[ $# -gt 0 ] || set -- 100000 1000000 10000000 100000000
here=$(cd "$(dirname "$0")" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
(cd "$here/../.." && go build -o "$work/counterpoise" ./cmd/counterpoise)
echo "# testdata/bench/linear.sh; $(nproc) processors ($(sed -n 's/^model name.*: //p' /proc/cpuinfo | head -1)), $(go env GOVERSION), load average $(cut -d' ' -f1 /proc/loadavg) at the start"
echo "# bodies  wall s  user s  system s  peak kB  files kB"
for round in 1 2 3; do
	for bodies in "$@"; do
		# A verdict that is undecided ends with 3.
		/usr/bin/env time -q -f "%e %U %S %M" -o "$work/time" "$work/counterpoise" claim test longer-arms \
			--assumption-draws 0 --n "$bodies" --out "$work/out" >"$work/said" 2>&1 || [ $? = 3 ] || { cat "$work/said" >&2; exit 1; }
		echo "$bodies $(cat "$work/time") $(du -sk "$work/out" | cut -f1)"
		rm -rf "$work/out"
	done
done
