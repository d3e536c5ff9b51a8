#!/bin/bash
# Makes one day of the shares, or names those that are missing. Needs no captures.
#SBATCH --job-name=gather
#SBATCH --cpus-per-task=1
#SBATCH --mem=2G
#SBATCH --time=01:00:00
set -u

OUT=${OUT:-/shared/results}
SWINGBASIS=${SWINGBASIS:-swingbasis}

exec "$SWINGBASIS" gather "$OUT"
