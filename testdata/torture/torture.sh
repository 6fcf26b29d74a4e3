#!/bin/sh
# Kills a run that writes into a folder that was used before, at moments of chance, and lets
# runs meet a full disk. Every file that can be seen must be, byte for byte, the one of the
# run before or that of the run at hand, and a run that is let to its end must leave what a
# run into an empty folder does. Root is needed for the disks, which are small tmpfs.
# Usage: torture.sh PROGRAM [KILLS [FULL-DISKS]]
set -eu
program=$(realpath "$1")
kills=${2:-40}
disks=${3:-10}
scratch=$(mktemp -d)
trap 'umount "$scratch/disk" 2>/dev/null || true; rm -rf "$scratch"' EXIT
cd "$scratch"
run() { "$program" claim test longer-arms --n 4000 --assumption-draws 256 --theme "$1" --seed "$2" --out "$3" >said 2>told; }
run light 1 before || [ $? = 3 ]
start=$(date +%s%N)
run light 2 after || [ $? = 3 ]
took=$((($(date +%s%N) - start) / 1000000))
faults=0
fault() { faults=$((faults + 1)); echo "FAULT: $*"; }

# whole FOLDER: all that can be seen there is of one of the two runs.
whole() {
	old=0 new=0
	for file in "$1"/*; do
		[ -e "$file" ] || continue
		name=$(basename "$file")
		if cmp -s "$file" "after/$name"; then
			new=$((new + 1))
		elif cmp -s "$file" "before/$name"; then
			old=$((old + 1))
		else
			fault "$2: $name is of neither run"
		fi
	done
}

mixed=0 hidden=0
for i in $(seq "$kills"); do
	rm -rf out
	cp -r before out
	case $((i % 4)) in 0) signal=INT code=130 ;; 1) signal=TERM code=143 ;; *) signal=KILL code=137 ;; esac
	"$program" claim test longer-arms --n 4000 --assumption-draws 256 --theme light --seed 2 --out out >said 2>told &
	process=$!
	sleep "$(awk -v took="$took" -v seed="$i$took" 'BEGIN { srand(seed); print took * (0.2 + 0.9 * rand()) / 1000 }')"
	kill -s $signal $process 2>/dev/null || true
	got=0
	wait $process || got=$?
	case $got in 0 | 3 | "$code") ;; *) fault "kill $i by $signal: exit code $got: $(cat told)" ;; esac
	whole out "kill $i by $signal"
	[ $old = 0 ] || [ $new = 0 ] || mixed=$((mixed + 1))
	left=$(find out -name '.*' -mindepth 1 | wc -l)
	[ "$left" = 0 ] || hidden=$((hidden + 1))
	[ $signal = KILL ] || [ "$left" = 0 ] || fault "kill $i by $signal leaves $left hidden files"
done
echo "$kills kills: $mixed left files of both runs, $hidden left hidden files"
if [ "$kills" -gt 0 ]; then
	run light 2 out || [ $? = 3 ] || fault "the run after the kills fails"
	for file in after/*; do cmp "$file" "out/$(basename "$file")" || fault "$file"; done
fi

size=$(du -sk after | cut -f1)
mkdir disk
for i in $(seq "$disks"); do
	mount -t tmpfs -o size=$((16 + size * i / (disks + 1)))k tmpfs disk
	got=0
	run light 2 disk/out || got=$?
	[ $got = 1 ] || fault "disk $i: exit code $got"
	grep -v ' of [0-9]* (' told >error || true # without progress
	[ "$(grep -c . error)" = 1 ] && grep -q 'no space left on device' error || fault "disk $i says: $(cat error)"
	[ ! -s said ] || fault "disk $i: a verdict is printed"
	whole disk/out "disk $i"
	left=$(find disk -name '.*' -mindepth 1 | wc -l)
	[ "$left" = 0 ] || fault "disk $i: $left hidden files are left"
	echo "disk $i: $new whole files are left"
	umount disk
done
[ $faults = 0 ] || { echo "$faults faults"; exit 1; }
echo "no fault"
