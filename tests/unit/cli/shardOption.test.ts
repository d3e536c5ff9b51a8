import { describe, expect, it } from 'vitest';
import { shardOf } from '../../../src/cli/shardOption.ts';

describe('--shard', () => {
  it.each([
    ['2/8', {}, { index: 2, count: 8 }],
    // sbatch --array=0-7, --array=1-8 and --array=10-24:2; variables as documented in sbatch(1)
    [
      'auto',
      { SLURM_ARRAY_TASK_ID: '3', SLURM_ARRAY_TASK_MIN: '0', SLURM_ARRAY_TASK_COUNT: '8' },
      { index: 4, count: 8 },
    ],
    [
      'auto',
      { SLURM_ARRAY_TASK_ID: '8', SLURM_ARRAY_TASK_MIN: '1', SLURM_ARRAY_TASK_COUNT: '8' },
      { index: 8, count: 8 },
    ],
    [
      'auto',
      {
        SLURM_ARRAY_TASK_ID: '14',
        SLURM_ARRAY_TASK_MIN: '10',
        SLURM_ARRAY_TASK_STEP: '2',
        SLURM_ARRAY_TASK_COUNT: '8',
      },
      { index: 3, count: 8 },
    ],
    // an indexed Job with completions: 5 counts from 0
    ['auto/5', { JOB_COMPLETION_INDEX: '0' }, { index: 1, count: 5 }],
    ['auto/5', { JOB_COMPLETION_INDEX: '4' }, { index: 5, count: 5 }],
  ])('%s with %j', (text, env, expected) => {
    expect(shardOf(text, env)).toEqual(expected);
  });

  it.each([
    ['2', {}, 'is no share'],
    ['0/3', {}, 'there is no share 0 of 3'],
    ['4/3', {}, 'there is no share 4 of 3'],
    ['1/0', {}, 'there is no share'],
    ['-1/3', {}, 'is no share'],
    ['auto', {}, 'neither SLURM_ARRAY_TASK_ID nor JOB_COMPLETION_INDEX is set'],
    ['auto', { JOB_COMPLETION_INDEX: '1' }, 'say of how many'],
    // sbatch --array=7 for one task of eight that was lost
    [
      'auto/8',
      { SLURM_ARRAY_TASK_ID: '7', SLURM_ARRAY_TASK_MIN: '7', SLURM_ARRAY_TASK_COUNT: '1' },
      'this array has 1 task, not 8; write the share itself, such as 2/8',
    ],
    ['auto/5', { JOB_COMPLETION_INDEX: '5' }, 'there is no share 6 of 5'],
  ])('%s with %j is refused', (text, env, message) => {
    expect(() => shardOf(text, env)).toThrow(message);
  });
});
