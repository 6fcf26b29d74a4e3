#!/bin/sh
# The explore page in Chromium, served and as a static site. Installs on Debian what is
# missing; npm fetches playwright-core (no browser) and axe-core, as locked. To be run
# in the sources' own folder.
# Usage: explore.sh PROGRAM [FOLDER-FOR-PICTURES]
set -eu
here=$(cd "$(dirname "$0")" && pwd)
if ! { command -v chromium && command -v npm; } >/dev/null && command -v apt-get >/dev/null; then
	apt-get update -qq
	DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends chromium fonts-liberation nodejs npm >/dev/null
fi
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
cp "$here/package.json" "$here/package-lock.json" "$here/explore.mjs" "$scratch"
(cd "$scratch" && npm ci --no-audit --no-fund --silent)
node "$scratch/explore.mjs" --program "$1" ${2:+--shots "$2"}
