import type { CutoffMethod } from '../../../model/dayPlan.ts';
import type { Fault } from '../../../model/faults.ts';
import { GROUP_WORDS } from '../../../model/landmarkGroups.ts';
import type { Unmeasured } from '../../../model/markerRuns.ts';

const KINDS: Readonly<Record<Unmeasured, string>> = {
  rigid: 'filled from the rest of the segment',
  spline: 'filled by a spline',
  components: 'filled from neighbouring markers',
  missing: 'missing',
  flown: 'not seen after the strike',
};

const ACTIONS: Readonly<Record<Fault['action'], string>> = {
  repaired: 'repaired',
  removed: 'taken as missing',
  kept: 'left as recorded',
  refused: 'trial not used',
};

const RULE_NAMES: Readonly<Record<CutoffMethod, string>> = {
  residual: 'residual',
  autocorrelation: 'autocorrelation',
  'cross-validation': 'cross-validation',
};

/** What was measured of the markers, and how the cutoff was chosen. */
export const QUALITY = {
  groups: GROUP_WORDS,
  kinds: KINDS,
  actions: ACTIONS,
  heading: 'Markers measured, filled and missing',
  throughout: 'Every marker was measured throughout, without a fault, in {n} of {recordings}.',
  named: '{trial} ({status})',
  figureOf: 'Markers of {trial}',
  title: '{trial}: samples measured, filled and missing',
  frame: 'frame {n}',
  frames: 'frames {from}–{to}',
  run: '{frames} {what}',
  marker: '{marker}: {runs}',
  markerThroughout: 'measured throughout',
  /** Name of a fault by its code. */
  faultName: (code: string): string => code.replaceAll('-', ' '),
  fault: '{fault} ({about}): {detail}',
  faultNumber: 'Fault {n}: {text}',
  furtherFaults: '{faults}.',
  allThroughout: 'All {markers} were measured throughout.',
  restThroughout: (n: number): string =>
    n === 1 ? 'The other marker was measured throughout.' : `The other ${n} markers were measured throughout.`,
  gaps: '{n} of {markers} with gaps, {left}',
  allFilled: 'all filled',
  leftMissing: '{n} with frames left missing',
  counts: '{marker}. {n} of {frames} not measured, {filled} filled, {left} still missing.',
  moreMarkers: '{n} more markers are shown.',
  measured: 'measured',
  faultKey: 'fault, by its number below',
  heads: [
    ['not', 'measured'],
    ['', 'filled'],
    ['still', 'missing'],
  ] as readonly (readonly [string, string])[],
  faultsHead: 'faults',
  time: 'time',
  frameAxis: 'frame, {rate} a second',
  frameAxisUnknown: 'frame; the rate is not known',
  cutoff: {
    title: '{trial}: choice of the cutoff',
    titleInText: (title: string): string => title.toLowerCase(),
    rules: {
      residual: { title: 'Residual analysis', about: 'RMS taken off, over the noise' },
      autocorrelation: { title: 'Autocorrelation', about: 'how far from white' },
      'cross-validation': { title: 'Cross-validation', about: 'error of the spline' },
    },
    notes: [
      'Solid upright: the cutoff used. Dashed upright: what the rule would choose. Residual analysis: dashed line through the tail, its value at 0 Hz level; the cutoff is where the curve',
      'falls to that level (Winter). The other two choose the least value (Challis; Woltring), drawn from least to largest. Markers of a group count alike, each over its own noise.',
    ],
    nothing: 'No segment group has half a second of measured samples around the swing at a rate that leaves a choice.',
    notFiltered: 'not filtered',
    asSet: '{cutoff}, as set',
    by: '{cutoff}, by {rule}',
    chosenBy: RULE_NAMES,
    described: '{group}: used {used}; would choose: {choices}.',
    panel: '{group}, {rule}',
  },
};
