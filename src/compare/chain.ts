import { quantityById } from '../model/catalogue.ts';
import {
  type Basis,
  BODY_LINKS,
  type ChainLink,
  type ComparisonRow,
  type DepartureChain,
} from '../model/comparison.ts';
import { POSITIONS } from '../model/positions.ts';
import type { Reading } from '../model/quantity.ts';

/** What departs at a position, from the ground up. */

type LinkName = ChainLink['link'];

const DISTAL: Readonly<Partial<Record<string, LinkName>>> = {
  foot: 'ankles',
  shank: 'knees',
  thigh: 'hips',
  thorax: 'trunk',
  head: 'neck',
  upper_arm: 'shoulders',
  forearm: 'elbows',
  hand: 'wrists',
};

const LINES: Readonly<Partial<Record<string, LinkName>>> = {
  pelvis_line: 'pelvis',
  shoulder_line: 'chest',
  head_line: 'head',
  eyes_line: 'head',
  trunk_axis: 'trunk',
};

const POINTS: Readonly<Partial<Record<string, LinkName>>> = {
  pelvis_centre: 'pelvis',
  thorax_centre: 'chest',
  head_centre: 'head',
  lead_shoulder: 'chest',
  trail_shoulder: 'chest',
};

const SEGMENTS: Readonly<Partial<Record<string, LinkName>>> = { pelvis: 'pelvis', thorax: 'chest', head: 'head' };

const withoutSide = (id: string): string => id.replace(/^(lead|trail)_/, '');

/** The link that a posture is of; null for speeds, times, the club, the ball and the body as a whole. */
function linkOf(reading: Reading): LinkName | null {
  switch (reading.kind) {
    case 'joint':
    case 'bend':
      return DISTAL[withoutSide(reading.distal)] ?? null;
    case 'direction-in':
      return 'shoulders';
    case 'orientation':
    case 'inclination':
    case 'inclination-direction':
      return SEGMENTS[reading.segment] ?? null;
    case 'turn-difference':
    case 'axis-tilt':
      return 'trunk';
    case 'displacement':
      return POINTS[reading.point] ?? null;
    case 'line-tilt':
    case 'line-turn':
    case 'line-lean':
      return LINES[reading.line] ?? null;
    case 'address-distance':
      return 'feet';
    case 'address-heading':
      return LINES[reading.line] ?? 'feet';
    case 'force':
      return 'feet';
    default:
      return null;
  }
}

/** Difference in margins; two zeros are none. */
const sizeOf = (row: ComparisonRow): number => Math.abs(row.difference!) / (row.margin || Number.MIN_VALUE);

function chainAt(rows: readonly ComparisonRow[], position: DepartureChain['position'], basis: Basis): DepartureChain {
  const byLink = new Map<LinkName, ComparisonRow[]>();
  for (const row of rows) {
    if (row.position !== position || row.basis !== basis || row.verdict === 'none') continue;
    const link = linkOf(quantityById(row.quantity).reading);
    if (link !== null) byLink.set(link, [...(byLink.get(link) ?? []), row]);
  }
  const links = BODY_LINKS.flatMap((link): ChainLink[] => {
    const tested = byLink.get(link);
    if (tested === undefined) return [];
    const departing = tested.filter(({ verdict }) => verdict === 'departs').sort((a, b) => sizeOf(b) - sizeOf(a));
    return [
      {
        link,
        tested: tested.length,
        departing: departing.map(({ quantity, difference, unit }) => ({ quantity, difference: difference!, unit })),
      },
    ];
  });
  return { position, basis, links };
}

/** A chain for every position and basis with rows that have a verdict, in order of time; values before changes. */
export function departureChains(rows: readonly ComparisonRow[]): DepartureChain[] {
  return (['value', 'change'] as const)
    .flatMap((basis) => POSITIONS.map((position) => chainAt(rows, position, basis)))
    .filter(({ links }) => links.length > 0);
}
