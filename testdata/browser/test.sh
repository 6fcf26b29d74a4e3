#!/bin/sh
# Opens evidence pages and the page of a library in Chromium. Installs on Debian what
# is missing; npm fetches playwright-core (no browser) and axe-core, as locked.
# Usage: test.sh PROGRAM [FOLDER-FOR-PICTURES]
set -eu
here=$(cd "$(dirname "$0")" && pwd)
program=$1
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
pictures=${2:-$scratch/pictures}
if ! { command -v chromium && command -v pdftotext && command -v npm; } >/dev/null && command -v apt-get >/dev/null; then
	apt-get update -qq
	DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends chromium fonts-liberation poppler-utils nodejs npm >/dev/null
fi
cp "$here/package.json" "$here/package-lock.json" "$here/check.mjs" "$scratch"
(cd "$scratch" && npm ci --no-audit --no-fund --silent)
# A change, contrasts, no effect at all, push-ups, another hold, a claim that depends on
# assumptions, and one of many models.
"$program" claim test longer-arms cross-reach tall-people front-lever-longer-arms push-up-knees hang-shows-flag-pull \
	planche-tuck-or-straddle hands-as-wide-as-they-go --n 20000 --out "$scratch/library" >/dev/null || [ $? = 3 ]
"$program" claim test more-upper-body-muscle --n 4000 --assumption-draws 0 \
	--regional-masses table,residual,full --segments deleva-1996,dumas-2007 --out "$scratch/many-models" >/dev/null || [ $? = 3 ]
CHROMIUM=$(command -v chromium) node "$scratch/check.mjs" "$pictures" "$scratch/library/library.html" "$scratch"/library/*/evidence.html \
	"$scratch/many-models/evidence.html"
