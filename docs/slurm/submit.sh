#!/bin/bash
# Submits a day to Slurm: an array of shares, and gathering behind it: DAY=… DATA=… OUT=… SHARES=… ./submit.sh
# Slurm writes what the jobs say to slurm-JOB.out in the folder that this is run in.
set -eu
here=$(dirname "$0")
export SHARES=${SHARES:-16}

array=$(sbatch --parsable --array="1-$SHARES" "$here/array.sh")
# afterany: gathering also runs where a task was lost, and says which
gather=$(sbatch --parsable --dependency=afterany:"$array" "$here/gather.sh")
echo "shares: job $array, gathering: job $gather"
