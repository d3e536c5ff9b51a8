import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { Euler, Matrix4 } from 'three';
import { describe, expect, it } from 'vitest';
import { takenApart } from '../../src/compare/orderAngles.ts';
import { ANGLE_ORDERS, type AngleOrder } from '../../src/model/quantity.ts';
import { DEG, slowRotation, worstDifference } from '../support/numericOracles.ts';

/** docs/orders.md: its numbers are those of the postures that it names, worked out again. */
const PAGE = readFileSync(join(import.meta.dirname, '../../docs/orders.md'), 'utf8');
const asNumber = (text: string): number => Number(text.trim().replace('−', '-'));
const TABLE = new Map(
  [...PAGE.matchAll(/^\| ([XYZ]-[XYZ]-[XYZ]) \|([^|]+)\|([^|]+)\|([^|]+)\|([^|]+)\|$/gm)].map(
    ([, order, ...cells]) => [order!.replaceAll('-', '') as AngleOrder, cells.map(asNumber)] as const,
  ),
);
/** Posture of row A16: turn, side bend and third angle of Y-X-Z, degrees. */
const TOP = [-95, -35, -5] as const;
const R = slowRotation('YXZ', TOP[0] * DEG, TOP[1] * DEG, TOP[2] * DEG);
/** The page gives one decimal. */
const PRINTED = 0.05 + 1e-9;

describe('docs/orders.md', () => {
  it('has all twelve orders, each of which gives the posture back to its decimals', () => {
    expect([...TABLE.keys()]).toEqual([...ANGLE_ORDERS]);
    for (const [order, [a, b, c]] of TABLE) {
      const m = slowRotation(order, a! * DEG, b! * DEG, c! * DEG);
      // three angles off by up to 0.05° each
      expect(worstDifference(m, R)).toBeLessThan(3 * 0.05 * DEG);
    }
  });

  it.each([...TABLE])('%s: the angles and the distance that the program reads', (order, [a, b, c, distance]) => {
    const apart = takenApart(R, order)!;
    const read = [...apart.angles, apart.singularDistance].map((angle) => angle / DEG);
    [a, b, c, distance].forEach((printed, i) => {
      expect(Math.abs(read[i]! - printed!)).toBeLessThan(PRINTED);
    });
  });

  it.each(['XYZ', 'XZY', 'YXZ', 'YZX', 'ZXY', 'ZYX'] as const)('%s: the angles that three reads', (order) => {
    const m = new Matrix4().set(R[0]!, R[1]!, R[2]!, 0, R[3]!, R[4]!, R[5]!, 0, R[6]!, R[7]!, R[8]!, 0, 0, 0, 0, 1);
    const read = new Euler().setFromRotationMatrix(m, order);
    [...order].forEach((axis, i) => {
      const angle = read[axis.toLowerCase() as 'x' | 'y' | 'z'] / DEG;
      expect(Math.abs(angle - TABLE.get(order)![i]!)).toBeLessThan(PRINTED);
    });
  });

  it('says in words what the table has', () => {
    const [, side, third] = TABLE.get('YXZ')!;
    const [flexion, isbSide] = TABLE.get('ZXY')!;
    const shown = (angle: number): string => `${angle.toFixed(1).replace('-', '−')}°`;
    expect(PAGE).toContain(`side bend ${shown(side!)}, toward the lead side, and ${shown(-third!)} of forward bend`);
    expect(PAGE).toContain(
      `flexion ${shown(flexion!)}, which is ${shown(-flexion!)} of forward bend, and side bend ${shown(isbSide!)}`,
    );
    expect(PAGE).toContain(`Z-Y-X is ${shown(TABLE.get('ZYX')![3]!)} from its singular position`);
  });

  // Baker 2001: |obliquity| = asin(sin rotation · sin tilt) by the conventional order; row A18
  it('gives the obliquity of a level pelvis as Baker does', () => {
    const m = slowRotation('YXZ', 30 * DEG, 0, -20 * DEG);
    const conventional = takenApart(m, 'ZXY')!.angles[1] / DEG;
    expect(Math.abs(conventional)).toBeCloseTo(Math.asin(Math.sin(30 * DEG) * Math.sin(20 * DEG)) / DEG, 9);
    expect(PAGE).toContain(`reads an obliquity of ${conventional.toFixed(1).replace('-', '−')}°`);
    expect(takenApart(m, 'YXZ')!.angles[1]).toBeCloseTo(0, 12);
  });
});
