import { quantityById } from '../../model/catalogue.ts';
import type { ChainLink, DepartureChain, PlayerComparison } from '../../model/comparison.ts';
import type { Sheet } from '../drawing/draw.ts';
import type { Flow } from '../drawing/flow.ts';
import { signedWithUnit } from '../sentences/numbers.ts';
import { labelOf } from '../sentences/words.ts';
import { fill } from '../words/fill.ts';
import type { Words } from '../words/words.ts';
import { drawHeading, drawParagraph } from './detailsText.ts';

/** What departs at each position, from the ground up. */

/** 'pelvis: pelvis forward bend +6.8°, 2 more' */
function linkText(words: Words, { link, departing }: ChainLink): string {
  const [largest] = departing;
  const { chain } = words.details;
  const { decimals } = quantityById(largest!.quantity);
  return fill(chain.link, {
    link: chain.name(link),
    quantity: labelOf(words, largest!.quantity),
    difference: signedWithUnit(words, largest!.difference, decimals, largest!.unit),
    more: departing.length === 1 ? '' : fill(chain.more, { n: departing.length - 1 }),
  });
}

function chainText(words: Words, { links }: DepartureChain): string {
  return links
    .filter(({ departing }) => departing.length > 0)
    .map((one) => linkText(words, one))
    .join(' → ');
}

/** One line for each position at which something departs; nothing where nothing does. */
export function drawChains(sheet: Sheet, flow: Flow, comparison: PlayerComparison): void {
  const { since } = sheet.words.details.chain;
  const lines = comparison.chains
    .map((chain): [string, string] => [
      chain.basis === 'change' ? fill(since, { position: chain.position }) : chain.position,
      chainText(sheet.words, chain),
    ])
    .filter(([, text]) => text !== '');
  if (lines.length === 0) return;
  drawHeading(sheet, flow, sheet.words.details.headings.chains);
  for (const [term, text] of lines) drawParagraph(sheet, flow, term, text);
  flow.y += 6;
}
