#!/bin/sh
# Tests many claims in one run and prints how much memory that took at most, which must not
# grow with their number: the limit is 300 MB for a thousand.
# Usage: many.sh PROGRAM [CLAIMS]
set -eu
program=$(realpath "$1")
claims=${2:-1000}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
cd "$scratch"
mkdir claims
"$program" claim show longer-arms >shown
for i in $(seq "$claims"); do sed "s/^claim: .*/claim: longer-arms-$i/" shown >"claims/$i.yaml"; done
/usr/bin/env time -f '%M' "$program" claim test ./claims --n 1000 --assumption-draws 0 --out out >said 2>told || [ $? = 3 ] || { cat told; exit 1; }
most=$(($(tail -1 told) / 1024))
echo "$(find out -name evidence.html | wc -l) of $claims claims, $most MB at most"
[ "$(find out -name evidence.html | wc -l)" = "$claims" ] && [ "$most" -lt 300 ]
