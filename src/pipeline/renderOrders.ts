/** The orders of axes that were asked for, as figures and as sentences. */
import type { PlayerComparison } from '../model/comparison.ts';
import { orderSentence } from '../report/parts/orderSensitivityText.ts';
import type { DayView } from '../report/views.ts';
import { EN } from '../report/words/en.ts';
import type { OutputFile } from './renderReport.ts';

/** `figures/<player>-orders.svg` of every comparison that has such segments or joints. */
export async function* renderOrders(view: DayView): AsyncGenerator<OutputFile> {
  const { renderOrderChecks } = await import('../report/parts/orderSensitivity.ts');
  for (const player of view.players) {
    const shown = player.inTableUnits ?? player.comparison;
    if (shown.orderChecks === undefined) continue;
    const path = `figures/${shown.player}${shown.part.suffix}-orders.svg`;
    yield { path, text: [renderOrderChecks(player)] };
  }
}

/** One sentence a segment or joint. */
export function orderSentences({ orderChecks = [] }: PlayerComparison): readonly string[] {
  return orderChecks.map((check) => orderSentence(EN, check));
}
