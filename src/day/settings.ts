import { type BodyFaultLimits, SKIN_SEGMENTS } from '../model/bodyFaultLimits.ts';
import { CATALOGUE } from '../model/catalogue.ts';
import {
  type CompareOptions,
  type CutoffMethod,
  type DayPlan,
  DEFAULT_COMPARE,
  DEFAULT_FAULTS,
  DEFAULT_FILTER,
  DEFAULT_GAPS,
  type FaultOptions,
  type FilterOptions,
  type GapOptions,
  NO_FILTER,
} from '../model/dayPlan.ts';
import type { DayFile, DayFilter } from '../model/daySchema.ts';
import { GATE_RULE_IDS } from '../model/gateRules.ts';
import type { GateSetting, GateSettings } from '../model/gates.ts';
import { segmentOf } from '../model/placement.ts';
import { takesReapplication } from '../model/reapplication.ts';
import { DEFAULT_REPORT, type ReportSettings } from '../model/reportSettings.ts';
import { isYes, type PlanContext, suggestion } from './planContext.ts';

/** Later layers win key by key; `none` turns every cutoff off, a rule chooses every one, and keys of a later layer set theirs again. */
export function layeredFilter(layers: readonly (DayFilter | undefined)[]): FilterOptions {
  let out: FilterOptions = DEFAULT_FILTER;
  for (const layer of layers) {
    if (layer === undefined) continue;
    if (layer === 'none') {
      out = NO_FILTER;
      continue;
    }
    if (typeof layer === 'string') {
      out = { trunk_Hz: layer, head_Hz: layer, legs_Hz: layer, upperArm_Hz: layer, forearm_Hz: layer };
      continue;
    }
    out = {
      trunk_Hz: cutoffOf(layer.trunk_Hz, out.trunk_Hz),
      head_Hz: cutoffOf(layer.head_Hz, out.head_Hz),
      legs_Hz: cutoffOf(layer.legs_Hz, out.legs_Hz),
      upperArm_Hz: cutoffOf(layer.upper_arm_Hz, out.upperArm_Hz),
      forearm_Hz: cutoffOf(layer.forearm_Hz, out.forearm_Hz),
    };
  }
  return out;
}

/** Later layers win key by key. */
export function layeredGaps(layers: readonly DayFile['gaps'][]): GapOptions {
  let out = DEFAULT_GAPS;
  for (const layer of layers) {
    out = {
      longest_s: layer?.longest_s ?? out.longest_s,
      rigid_s: layer?.rigid_s ?? out.rigid_s,
      components_s: layer?.components_s ?? out.components_s,
    };
  }
  return out;
}

/** Later layers win key by key. */
export function layeredFaults(layers: readonly DayFile['faults'][]): FaultOptions {
  let out = DEFAULT_FAULTS;
  for (const layer of layers) {
    out = {
      repair: isYes(layer?.repair, out.repair),
      limits: faultLimits(out.limits, layer),
    };
  }
  return out;
}

function faultLimits(before: BodyFaultLimits, layer: DayFile['faults']): BodyFaultLimits {
  const metres = (mm: number | undefined, m: number): number => (mm === undefined ? m : mm / 1000);
  const skin_m = { ...before.skin_m };
  for (const segment of SKIN_SEGMENTS) {
    const key = segment.replace(' ', '_') as keyof NonNullable<NonNullable<DayFile['faults']>['skin_mm']>;
    skin_m[segment] = metres(layer?.skin_mm?.[key], skin_m[segment]);
  }
  return {
    skin_m,
    downswing_s: layer?.downswing_s ?? before.downswing_s,
    backswing_s: layer?.backswing_s ?? before.backswing_s,
    clubLost: layer?.club_lost_percent === undefined ? before.clubLost : layer.club_lost_percent / 100,
    clubBlur_m: metres(layer?.club_blur_mm, before.clubBlur_m),
    headPoint_m: metres(layer?.head_point_mm, before.headPoint_m),
  };
}

/** The plan under which faults are found and named, but nothing is changed, whatever the day file says. */
export function withoutRepair(plan: DayPlan): DayPlan {
  return { ...plan, trials: plan.trials.map((trial) => ({ ...trial, faults: { ...trial.faults, repair: false } })) };
}

/** Limits of the gates as the day file sets them. */
export function gateSettings(gates: NonNullable<DayFile['gates']>): GateSettings {
  return Object.fromEntries(
    GATE_RULE_IDS.flatMap((id): [string, GateSetting][] => {
      const setting = gates[id];
      if (setting === undefined) return [];
      return [[id, Array.isArray(setting) ? [setting[0]!, setting[1]!] : setting]];
    }),
  );
}

type Setting = FilterOptions[keyof FilterOptions];

function cutoffOf(value: number | CutoffMethod | 'none' | undefined, before: Setting): Setting {
  return value === undefined ? before : value === 'none' ? null : value;
}

/** Names of `placement` that are neither a quantity's nor a segment's are reported. */
export function checkPlacement(placement: DayFile['placement'], context: PlanContext): void {
  const names = [...new Set(CATALOGUE.flatMap(({ id }) => [id, segmentOf(id)]))];
  for (const name of Object.keys(placement ?? {})) {
    if (names.includes(name)) continue;
    const place = context.place(['placement', name], true);
    context.problem(place, 'unknown-quantity', `no quantity or segment is called ${name}${suggestion(name, names)}`);
  }
}

/** How the report is written, defaults filled in. */
export function reportSettings(given: NonNullable<DayFile['report']>): ReportSettings {
  const { speed, length, language } = DEFAULT_REPORT;
  return { speed: given.speed ?? speed, length: given.length ?? length, language: given.language ?? language };
}

/** The options of the comparison, defaults filled in; names of quantities that do not exist are reported. */
export function comparePlan(day: DayFile, context: PlanContext): CompareOptions {
  const compare = day.compare ?? {};
  const ids = CATALOGUE.map((quantity) => quantity.id);
  for (const quantity of Object.keys(compare.margins ?? {})) {
    if (ids.includes(quantity)) continue;
    const place = context.place(['compare', 'margins', quantity], true);
    context.problem(place, 'unknown-quantity', `no quantity is called ${quantity}${suggestion(quantity, ids)}`);
  }
  const reapplication = compare.sessions?.reapplication;
  for (const name of Object.keys(reapplication ?? {})) {
    const trouble = reapplicationTrouble(name, compare.margins ?? {}, ids);
    const place = context.place(['compare', 'sessions', 'reapplication', name], true);
    if (trouble !== null) context.problem(place, 'unknown-quantity', trouble);
  }
  compare.primary?.forEach((entry, index) => {
    const trouble = primaryTrouble(entry, ids);
    if (trouble !== null) context.problem(context.place(['compare', 'primary', index]), 'unknown-quantity', trouble);
  });
  return {
    margins: compare.margins ?? DEFAULT_COMPARE.margins,
    primary: compare.primary ?? DEFAULT_COMPARE.primary,
    seed: compare.seed ?? DEFAULT_COMPARE.seed,
    resamples: compare.resamples ?? DEFAULT_COMPARE.resamples,
    attackBand_deg: bandOf(compare.attack_band_deg),
    ...(reapplication === undefined ? {} : { reapplication }),
  };
}

function reapplicationTrouble(
  name: string,
  margins: Readonly<Record<string, number>>,
  ids: readonly string[],
): string | null {
  const quantity = CATALOGUE.find((one) => one.id === name);
  if (quantity === undefined) return `no quantity is called ${name}${suggestion(name, ids)}`;
  if (takesReapplication(quantity, margins)) return null;
  return `the margin of ${name} is a share of the mean; markers put on again add nothing to it`;
}

function bandOf(band: readonly number[] | 'none' | undefined): CompareOptions['attackBand_deg'] {
  if (band === undefined) return DEFAULT_COMPARE.attackBand_deg;
  return band === 'none' ? null : [band[0]!, band[1]!];
}

function primaryTrouble(entry: string, ids: readonly string[]): string | null {
  const [name, position, ...rest] = entry.split('@');
  if (name === undefined || position === undefined || rest.length > 0) {
    return `write quantity@position, such as pelvis.forward_bend@P4, not ${entry}`;
  }
  const quantity = CATALOGUE.find((one) => one.id === name);
  if (quantity === undefined) return `no quantity is called ${name}${suggestion(name, ids)}`;
  const at: readonly string[] = quantity.at === 'swing' ? ['swing'] : quantity.at;
  return at.includes(position) ? null : `${name} is given at ${at.join(', ')}, not at ${position}`;
}
