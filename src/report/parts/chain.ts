import { quantityById } from '../../model/catalogue.ts';
import type { ChainLink, DepartureChain, PlayerComparison } from '../../model/comparison.ts';
import type { Sheet } from '../drawing/draw.ts';
import type { Flow } from '../drawing/flow.ts';
import { signedWithUnit } from '../sentences/numbers.ts';
import { drawHeading, drawParagraph } from './detailsText.ts';

/** What departs at each position, from the ground up. */

/** 'pelvis: pelvis forward bend +6.8°, 2 more' */
function linkText({ link, departing }: ChainLink): string {
  const [largest] = departing;
  const { label, decimals } = quantityById(largest!.quantity);
  const more = departing.length === 1 ? '' : `, ${departing.length - 1} more`;
  return `${link}: ${label} ${signedWithUnit(largest!.difference, decimals, largest!.unit)}${more}`;
}

function chainText({ links }: DepartureChain): string {
  return links
    .filter(({ departing }) => departing.length > 0)
    .map(linkText)
    .join(' → ');
}

/** One line for each position at which something departs; nothing where nothing does. */
export function drawChains(sheet: Sheet, flow: Flow, comparison: PlayerComparison): void {
  const lines = comparison.chains
    .map((chain): [string, string] => [
      `${chain.position}${chain.basis === 'change' ? ', since P1' : ''}`,
      chainText(chain),
    ])
    .filter(([, text]) => text !== '');
  if (lines.length === 0) return;
  drawHeading(sheet, flow, 'What departs, from the ground up: of each link the largest in margins');
  for (const [term, text] of lines) drawParagraph(sheet, flow, term, text);
  flow.y += 6;
}
