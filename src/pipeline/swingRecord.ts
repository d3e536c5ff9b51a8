/** The record of a swing: everything that leaves the workspace, copied. */

import type { Diagnostic } from '../base/diagnostics.ts';
import type { AnalysisPlan } from '../model/analysisPlan.ts';
import type { FilterOptions } from '../model/dayPlan.ts';
import { placementOf } from '../model/placement.ts';
import type { Moment, PositionId } from '../model/positions.ts';
import type { Quantity } from '../model/quantity.ts';
import type { Cell, SwingRecord } from '../model/swingRecord.ts';
import type { Workspace } from '../numeric/workspace.ts';
import type { SwingChecked } from '../stages/checkSwing.ts';
import { type ReadingInput, readQuantities } from '../stages/readQuantities.ts';
import { originsOf } from '../stages/shared/origins.ts';
import { swingFilm } from '../stages/swingFilm.ts';

/** Reads the quantities and puts the record together. `diagnostics` are those of the trial and of the stages so far, in order. */
export function swingRecord(
  input: ReadingInput & { readonly checked: SwingChecked },
  catalogue: readonly Quantity[],
  plan: AnalysisPlan,
  diagnostics: readonly Diagnostic[],
  ws: Workspace,
): SwingRecord {
  const { motion, found, checked } = input;
  const faults = [...(motion.faults ?? []), ...checked.faults];
  const moments: Partial<Record<PositionId, Moment>> = {};
  for (const [position, moment] of found.moments) moments[position] = moment;
  const kept = plan.rotations === undefined ? {} : { rotations: plan.rotations };
  const readings = readQuantities({ ...input, ...kept }, catalogue, ws);
  setPlacement(readings.value.cells, catalogue, plan.placement ?? {});
  const film = swingFilm({ motion, found, curveBase: readings.value.curveBase }, ws).value;
  return {
    head: motion.head,
    sha256: plan.sha256,
    datum: motion.datum,
    form: motion.form,
    headPoint: motion.headPoint.ok ? motion.headPoint.value : null,
    frames: motion.clock.frames,
    moments,
    ...readings.value,
    ...(film === null ? {} : { film }),
    quality: motion.quality,
    ...(motion.cutoffCurves === undefined ? {} : { cutoffCurves: motion.cutoffCurves }),
    ...(faults.length === 0 ? {} : { faults }),
    ...(checked.headPlace === null ? {} : { headPlace: checked.headPlace }),
    ...(motion.cutoffs !== undefined && hasRule(plan.filter) ? { smoothing: motion.cutoffs } : {}),
    origins: originsOf(motion),
    ...(motion.sensors === undefined ? {} : { sensors: motion.sensors }),
    diagnostics: [...diagnostics, ...readings.diagnostics],
  };
}

/** Gives the cells that have a value the allowance of their quantity; they were made for this record. Extra orders of axes have no allowance of their own. */
function setPlacement(
  cells: readonly Cell[],
  catalogue: readonly Quantity[],
  placement: NonNullable<AnalysisPlan['placement']>,
): void {
  const allowances = allowancesOf(catalogue, placement);
  for (const cell of cells as { -readonly [K in keyof Cell]: Cell[K] }[]) {
    if (cell.value !== null) cell.placement = allowances.get(cell.quantity) ?? null;
  }
}

/** Where nothing is set they are those of the catalogue: kept from trial to trial. */
const USUAL = new WeakMap<readonly Quantity[], ReadonlyMap<string, number | null>>();

function allowancesOf(
  catalogue: readonly Quantity[],
  placement: NonNullable<AnalysisPlan['placement']>,
): ReadonlyMap<string, number | null> {
  const isUsual = Object.keys(placement).length === 0;
  const known = isUsual ? USUAL.get(catalogue) : undefined;
  if (known !== undefined) return known;
  const made = new Map(catalogue.map((row) => [row.id, placementOf(row, placement)]));
  if (isUsual) USUAL.set(catalogue, made);
  return made;
}

/** True where a rule was to choose a cutoff: what came of it is then of this trial alone. */
function hasRule(filter: FilterOptions): boolean {
  return Object.values(filter).some((setting) => typeof setting === 'string');
}
