#!/bin/sh
# Runs a sweep as a Slurm array job of 8 tasks with a dependent gather, on this
# machine alone, and compares its files with those of one plain run. Needs root on
# Debian or Ubuntu, where it installs slurm-wlm and munge if they are not there.
# What it starts it stops again, by process id.
set -eu
here=$(cd "$(dirname "$0")" && pwd)

if ! command -v slurmctld >/dev/null || ! command -v munged >/dev/null; then
	apt-get update -qq
	DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends slurm-wlm munge >/dev/null
fi

scratch=$(mktemp -d)
stop() {
	for pid in "$scratch"/d.pid "$scratch"/ctld.pid "$scratch"/munged.pid; do
		[ -s "$pid" ] || continue
		id=$(cat "$pid")
		kill "$id" 2>/dev/null || continue
		for _ in 1 2 3 4 5 6 7 8 9 10; do
			kill -0 "$id" 2>/dev/null || break
			sleep 0.5
		done
	done
	rm -rf "$scratch"
}
trap stop EXIT
trap 'exit 1' INT TERM

(cd "$here/../.." && go build -o "$scratch/counterpoise" ./cmd/counterpoise)
PATH=$scratch:$PATH
export PATH
host=$(hostname -s)
mkdir "$scratch/state" "$scratch/spool" "$scratch/munge"
cat >"$scratch/slurm.conf" <<CONF
ClusterName=one
SlurmctldHost=$host(127.0.0.1)
AuthType=auth/munge
AuthInfo=socket=$scratch/munge/socket
CryptoType=crypto/munge
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
SlurmUser=root
SlurmdUser=root
StateSaveLocation=$scratch/state
SlurmdSpoolDir=$scratch/spool
SlurmctldPidFile=$scratch/ctld.pid
SlurmdPidFile=$scratch/d.pid
SlurmctldLogFile=$scratch/ctld.log
SlurmdLogFile=$scratch/d.log
SelectType=select/cons_tres
SelectTypeParameters=CR_CPU
ReturnToService=2
NodeName=$host NodeAddr=127.0.0.1 CPUs=2 State=UNKNOWN
PartitionName=all Nodes=$host Default=YES State=UP
CONF
export SLURM_CONF="$scratch/slurm.conf"

# A munge of our own, with its own key and socket, so that none that runs here
# already is disturbed.
chmod 755 "$scratch"
dd if=/dev/urandom of="$scratch/munge/key" bs=128 count=1 2>/dev/null
chmod 700 "$scratch/munge/key"
chmod 600 "$scratch/munge/key"
chmod 755 "$scratch/munge"
munged --key-file="$scratch/munge/key" --socket="$scratch/munge/socket" --pid-file="$scratch/munged.pid" \
	--log-file="$scratch/munge/log" --seed-file="$scratch/munge/seed" --force
slurmctld -f "$SLURM_CONF"
slurmd -f "$SLURM_CONF"
for _ in $(seq 60); do
	sinfo -h -o %T 2>/dev/null | grep -q idle && break
	sleep 0.5
done
sinfo

cd "$scratch"
job=$(sbatch --parsable --array=1-8 "$here/array.sh" "$here/sweep.yaml" "$scratch/array")
gather=$(sbatch --parsable --dependency=afterok:"$job" --output=gather.log --wrap "counterpoise gather $scratch/array")
for _ in $(seq 600); do
	[ -z "$(squeue -h -j "$gather" 2>/dev/null)" ] && break
	sleep 0.5
done
cat sweep-*.log
cat gather.log
counterpoise sweep "$here/sweep.yaml" --out "$scratch/one" >/dev/null
diff -r "$scratch/one" "$scratch/array"
echo "the array job of 8 tasks and the single run wrote the same bytes"
