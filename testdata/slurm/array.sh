#!/bin/sh
# One shard of a sweep for each task of a Slurm array job. Submit it with the
# number of shards that suits the cluster, and the gathering behind it:
#
#   job=$(sbatch --parsable --array=1-64 array.sh my.yaml results)
#   sbatch --dependency=afterok:"$job" --wrap 'counterpoise gather results'
#
# A task that was lost can be submitted again: what is finished is not computed
# twice.
#SBATCH --job-name=sweep
#SBATCH --cpus-per-task=1
#SBATCH --output=sweep-%a.log
exec counterpoise sweep "$1" --out "$2" --workers 1 \
	--shard "$SLURM_ARRAY_TASK_ID/$SLURM_ARRAY_TASK_COUNT"
