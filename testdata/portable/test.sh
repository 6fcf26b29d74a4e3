#!/usr/bin/env bash
# Holds two builds of the program, such as those for two processors, to writing the same bytes:
# texts, JSON, tables, pages, pictures, and the manifests with the hashes of them.
#
#   testdata/portable/test.sh counterpoise "qemu-aarch64-static counterpoise-arm64"
set -euo pipefail
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cat >"$work/legs.yaml" <<'YAML'
sweep: legs
hold: human-flag
demands: [required_force, best_angle, difficulty]
axes:
  people: [ansur2-men, us-women]
  change.arm_length: -4 cm..6 cm by 5 cm
n: 256
YAML
cat >"$work/ada.yaml" <<'YAML'
person: ada
sex: female
stature: 168 cm
mass: 61 kg
span: 171 cm
YAML
for k in 1 2; do
	program=${!k}
	mkdir "$work/$k"
	(
		cd "$work/$k"
		# A claim may be undecided, which is exit code 3.
		$program claim test longer-arms --n 256 --assumption-draws 0 --out claim >claim.txt 2>claim.err || [ $? = 3 ]
		$program claim test l-sit-longer-arms --n 128 --assumption-draws 256 --json >l-sit.json 2>l-sit.err || [ $? = 3 ]
		$program person ../ada.yaml --n 1000 --json --out person >person.json
		$program drivers --hold human-flag --of required_force --people us-men --n 64 --json --worth --out drivers >drivers.json 2>drivers.err
		$program sweep ../legs.yaml --out sweep >sweep.txt 2>sweep.err
		$program people draw us-women --n 1000 --out people >people.txt
	)
done
diff -r --exclude='*.err' "$work/1" "$work/2"
echo "the same bytes in $(find "$work/1" -type f ! -name '*.err' | wc -l) files"
