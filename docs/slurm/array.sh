#!/bin/bash
# One share of a day, as a task of a Slurm job array. The tasks of the array count from 1 to SHARES; a task that was lost is submitted
# again under its own number alone: sbatch --array=7 array.sh
#SBATCH --job-name=swings
#SBATCH --array=1-16
#SBATCH --cpus-per-task=2
#SBATCH --mem=2G
#SBATCH --time=01:00:00
#SBATCH --signal=B:TERM@60
set -u

# Set these, here or in the environment that sbatch passes on.
DAY=${DAY:-/shared/day.yaml}
DATA=${DATA:-/shared/captures}
OUT=${OUT:-/shared/results}
SHARES=${SHARES:-16}
SWINGBASIS=${SWINGBASIS:-swingbasis}

# exec: the signal that Slurm sends before the time is over reaches the program, which then ends with what is done kept
exec "$SWINGBASIS" process "$DAY" --data "$DATA" --out "$OUT" \
  --shard "$SLURM_ARRAY_TASK_ID/$SHARES" --workers "${SLURM_CPUS_PER_TASK:-1}" --log json
