/** Angles stored in open capture files, rebuilt from the markers of the same files by the general functions. */

import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { bytesSource, readC3d } from '../../src/c3d/readC3d.ts';
import type { C3dFile } from '../../src/c3d/types.ts';
import { anglesFromRotation } from '../../src/numeric/eulerAngles.ts';
import { mulT3 } from '../../src/numeric/rotation.ts';
import { frameFromZX, pelvisFrame, pelvisFrameSacrum } from '../../src/stages/shared/segmentFrames.ts';
import { openData } from '../support/openData.ts';

interface Stored {
  readonly storedAnglesDegByFrameIndex?: Readonly<Record<string, Readonly<Record<string, readonly number[]>>>>;
}

function column(file: C3dFile, name: string): number {
  return file.labels.findIndex((label) => label === name || label.endsWith(`:${name}`));
}

function point(file: C3dFile, name: string, frame: number): [number, number, number] {
  const index = column(file, name);
  if (index < 0) throw new RangeError(`no point ${name}`);
  return [0, 1, 2].map((axis) => file.xyz[(3 * index + axis) * file.frames + frame]!) as [number, number, number];
}

function mean(a: readonly number[], b: readonly number[]): number[] {
  return a.map((value, i) => (value + b[i]!) / 2);
}

/** The files' own pelvis (x forward, y left, z up): the ISB pelvis with the axes renamed, X = x, Y = z, Z = −y. */
function pelvis(file: C3dFile, frame: number): Float64Array {
  const left = point(file, 'LASI', frame);
  const right = point(file, 'RASI', frame);
  const isb = new Float64Array(9);
  if (column(file, 'LPSI') >= 0) {
    pelvisFrame(
      Float64Array.of(...left, ...right, ...point(file, 'LPSI', frame), ...point(file, 'RPSI', frame)),
      isb,
      0,
    );
  } else pelvisFrameSacrum(Float64Array.of(...left, ...right, ...point(file, 'SACR', frame)), isb, 0);
  const own = new Float64Array(9);
  for (let r = 0; r < 9; r += 3) {
    own[r] = isb[r]!;
    own[r + 1] = -isb[r + 2]!;
    own[r + 2] = isb[r + 1]!;
  }
  return own;
}

function thorax(file: C3dFile, frame: number): Float64Array {
  const clavicle = point(file, 'CLAV', frame);
  const sternum = point(file, 'STRN', frame);
  const c7 = point(file, 'C7', frame);
  const t10 = point(file, 'T10', frame);
  const up = mean(clavicle, c7).map((value, i) => value - mean(sternum, t10)[i]!);
  const front = mean(clavicle, sternum).map((value, i) => value - mean(c7, t10)[i]!);
  const R = new Float64Array(9);
  frameFromZX(up[0]!, up[1]!, up[2]!, front[0]!, front[1]!, front[2]!, R, 0);
  return R;
}

function degrees(R: Float64Array): [number, number, number] {
  const angles = new Float64Array(3);
  anglesFromRotation(R, 0, 'YXZ', angles);
  return Array.from(angles, (angle) => (angle * 180) / Math.PI) as [number, number, number];
}

/**
 * The frame of the walking direction: a quarter turn about the vertical, the nearest one to where the pelvis faces on average;
 * the laboratory's own where there is a single frame.
 */
function walkingFrame(file: C3dFile): Float64Array {
  let x = 0;
  let y = 0;
  for (let frame = 0; frame < file.frames; frame++) {
    const R = pelvis(file, frame);
    if (Number.isNaN(R[0])) continue;
    x += R[0]!;
    y += R[3]!;
  }
  const quarter = file.frames === 1 ? 0 : (Math.round(Math.atan2(y, x) / (Math.PI / 2)) * Math.PI) / 2;
  const c = Math.round(Math.cos(quarter));
  const s = Math.round(Math.sin(quarter));
  return Float64Array.of(c, -s, 0, s, c, 0, 0, 0, 1);
}

const FILES = ['walk-full', 'static-full-ff', 'static-oneframe-ff', 'gait-modelled-nonzero-start'];
const index = openData('expected.json');

describe.skipIf(index === null)('angles stored in open files (the files’ own content)', () => {
  const expected = index === null ? {} : (JSON.parse(readFileSync(index, 'utf8')) as Record<string, Stored>);
  it.each(FILES)('%s: pelvis, thorax and spine come out as stored to 0.001°', (name) => {
    const path = openData(`c3d/angles/${name}.c3d`)!;
    const file = readC3d(bytesSource(readFileSync(path)));
    const stored = expected[`c3d/angles/${name}.c3d`]!.storedAnglesDegByFrameIndex!;
    const R_lab_walk = walkingFrame(file);
    const against = (R: Float64Array): [number, number, number] => {
      const out = new Float64Array(9);
      mulT3(R_lab_walk, 0, R, 0, out, 0);
      return degrees(out);
    };
    let checked = 0;
    for (const [label, frames] of Object.entries(stored)) {
      const side = label[0] as 'L' | 'R';
      for (const [frame, angles] of Object.entries(frames)) {
        const f = Number(frame);
        let found: readonly number[];
        if (label.endsWith('SpineAngles')) {
          const R_thorax_pelvis = new Float64Array(9);
          mulT3(thorax(file, f), 0, pelvis(file, f), 0, R_thorax_pelvis, 0);
          const [a, b, c] = degrees(R_thorax_pelvis);
          found = side === 'L' ? [-a, b, -c] : [-a, -b, c];
        } else {
          const [a, b, c] = against(label.endsWith('PelvisAngles') ? pelvis(file, f) : thorax(file, f));
          found = side === 'L' ? [a, b, -c] : [a, -b, c];
        }
        angles.forEach((angle, i) => {
          expect(Math.abs(found[i]! - angle), `${label} frame ${frame}: ${found[i]}`).toBeLessThan(0.001);
          checked += 1;
        });
      }
    }
    expect(checked).toBeGreaterThanOrEqual(18); // three angles, two sides, three frames of the pelvis alone
  });
});
