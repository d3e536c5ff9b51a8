import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { engineFlags } from '../../../src/cli/engine.ts';

describe('the engine', () => {
  // An unknown flag ends Node with code 9 and its name.
  it('knows every flag that this version of Node is given', () => {
    const { status, stderr } = spawnSync(process.execPath, [...engineFlags(process.versions.node), '-e', '0'], {
      encoding: 'utf8',
    });
    expect(stderr).toBe('');
    expect(status).toBe(0);
  });

  it('is set on the version that was measured, and on no other', () => {
    expect(engineFlags('20.19.0')).toHaveLength(1);
    expect(engineFlags('22.1.0')).toEqual([]);
    expect(engineFlags('24.0.0')).toEqual([]);
    expect(engineFlags('200.0.0')).toEqual([]);
  });

  it('is set before the first command', () => {
    const text = readFileSync(new URL('../../../bin/swingbasis', import.meta.url), 'utf8');
    expect(text.indexOf('setEngine();')).toBeGreaterThan(0);
    expect(text.indexOf('setEngine();')).toBeLessThan(text.indexOf('await run('));
  });
});
