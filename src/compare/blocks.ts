import { formatFixed } from '../base/format.ts';
import { quantityById } from '../model/catalogue.ts';
import type { CurveSummary, SwingBlock } from '../model/comparison.ts';
import { compareText, partsBy, type SwingGroup } from './swings.ts';

/** The order of the day: swings of one side made one after the other are a block. */

export interface Block {
  readonly of: 'group' | 'reference';
  /** Indices among the records of that side, in the order of the trials. */
  readonly swings: readonly number[];
}

/** Blocks of both sides in the order of the trials; sides alternate. */
export function blocksOf(group: SwingGroup, reference: SwingGroup): Block[] {
  const entries = ([['group', group] as const, ['reference', reference] as const] as const).flatMap(([of, side]) =>
    side.records.map(({ head }, swing) => ({ of, swing, order: head.order, trial: head.trial })),
  );
  entries.sort((a, b) => a.order - b.order || compareText(a.trial, b.trial));
  const blocks: { of: Block['of']; swings: number[] }[] = [];
  for (const { of, swing } of entries) {
    const last = blocks[blocks.length - 1];
    if (last !== undefined && last.of === of) last.swings.push(swing);
    else blocks.push({ of, swings: [swing] });
  }
  return blocks;
}

/** The blocks as they are told. */
export function describeBlocks(blocks: readonly Block[], group: SwingGroup, reference: SwingGroup): SwingBlock[] {
  return blocks.map(({ of, swings }) => {
    const side = of === 'group' ? group : reference;
    return {
      label: side.label,
      swings: swings.length,
      clubs: [...partsBy(swings.map((i) => side.clubs[i]!)).keys()].sort(),
    };
  });
}

/**
 * Differences of the mean curves of neighbouring blocks, group less reference, the first with the second, the third with the fourth …: what
 * drifts slowly through the session is in both of a pair. `curves` by side, null where a swing has none; pairs without a curve are left out.
 */
export function blockDifferences(
  blocks: readonly Block[],
  curves: Readonly<Record<Block['of'], readonly (Float64Array | null)[]>>,
): Float64Array[] {
  const meanOf = ({ of, swings }: Block): Float64Array | null => {
    const own = swings.flatMap((i) => curves[of][i] ?? []);
    if (own.length === 0) return null;
    return own[0]!.map((_, step) => {
      const values = own.map((curve) => curve[step]!).filter((value) => !Number.isNaN(value));
      return values.reduce((sum, value) => sum + value, 0) / values.length;
    });
  };
  const out: Float64Array[] = [];
  for (let i = 0; i + 1 < blocks.length; i += 2) {
    const first = meanOf(blocks[i]!);
    const second = meanOf(blocks[i + 1]!);
    if (first === null || second === null) continue;
    const [a, b] = blocks[i]!.of === 'group' ? [first, second] : [second, first];
    out.push(a.map((value, step) => value - b[step]!));
  }
  return out;
}

/** Blocks that are listed one by one. */
const MOST_LISTED = 12;

/** 'Order of the swings: driver 4, irons 4, driver 4, irons 4.' */
export function orderNote(blocks: readonly SwingBlock[]): string {
  if (blocks.length <= MOST_LISTED) {
    return `Order of the swings: ${blocks.map(({ label, swings }) => `${label} ${swings}`).join(', ')}.`;
  }
  const sizes = blocks.map(({ swings }) => swings);
  const [least, most] = [Math.min(...sizes), Math.max(...sizes)];
  const size = least === most ? `${most}` : `${least} to ${most}`;
  return `Order of the swings: ${blocks.length} blocks of ${size} in turn, the first of the ${blocks[0]!.label}.`;
}

/** What is left of the curves that differ once slow drift is taken out; '' where there is nothing to say. */
export function pairedNote(curves: readonly CurveSummary[], blocks: readonly SwingBlock[]): string {
  const tested = curves.filter(({ stretches, pPaired }) => stretches.length > 0 && pPaired !== null);
  if (tested.length === 0) return '';
  const told = tested.map(({ quantity, pPaired }) => `${quantityById(quantity).label} p ${formatFixed(pPaired!, 4)}`);
  return `Curves with the ${blocks.length >> 1} pairs of neighbouring blocks compared, which slow drift through the session does not reach: ${told.join(', ')}.`;
}
