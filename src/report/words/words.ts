/** The words of a language: every sentence and label by its place, numbers and names as `{name}` in it. */
export interface Words {
  /** Language tag of the page (BCP 47). */
  readonly language: string;
  readonly page: PageWords;
}

/** What stands on the page of a player before any script runs. */
export interface PageWords {
  readonly skip: string;
  readonly viewGroup: string;
  readonly viewPlayer: string;
  readonly viewCoach: string;
  readonly findings: string;
  readonly andMore: string;
  readonly setUp: string;
  readonly slightly: string;
  readonly matches: string;
  readonly limbs: string;
  readonly open: string;
  readonly note: string;
  readonly practice: string;
  readonly swing: string;
  readonly swingHint: string;
  readonly noFilm: string;
  readonly show: string;
  readonly solid: string;
  readonly dashed: string;
  readonly placing: string;
  readonly over: string;
  readonly beside: string;
  readonly seenFrom: string;
  readonly front: string;
  readonly line: string;
  readonly above: string;
  readonly turn: string;
  readonly turnLeft: string;
  readonly turnRight: string;
  readonly turnUp: string;
  readonly turnDown: string;
  readonly traces: string;
  readonly traceClub: string;
  readonly traceHead: string;
  readonly tracePelvis: string;
  readonly traceThorax: string;
  readonly largeCurve: string;
  readonly curves: string;
  readonly curvesHint: string;
  readonly curveOf: string;
  readonly scrubber: string;
  readonly play: string;
  readonly pause: string;
  readonly numbers: string;
  readonly quantities: string;
  readonly speedUnit: string;
  readonly lengthUnit: string;
  readonly inch: string;
  readonly atPosition: string;
  readonly quantity: string;
  readonly difference: string;
  readonly interval: string;
  readonly verdict: string;
  readonly allPositions: string;
  readonly allPositionsHint: string;
  readonly once: string;
  readonly topics: Readonly<Record<TopicWord, string>>;
  readonly checkpoints: string;
  readonly checkpointsHint: string;
  readonly state: string;
  readonly rule: string;
  readonly reading: string;
  readonly made: string;
  readonly used: string;
  readonly notUsed: string;
  readonly nothingLeftOut: string;
  readonly trial: string;
  readonly club: string;
  readonly set: string;
  readonly status: string;
  readonly reason: string;
  readonly madeFrom: string;
  readonly smoothing: string;
  readonly orders: string;
  readonly zero: string;
  readonly notes: string;
  readonly sheet: string;
  readonly details: string;
  readonly day: string;
  readonly script: ScriptWords;
}

export type TopicWord = 'main' | 'trunk' | 'limbs' | 'all';

/** What the script says while it runs. */
export interface ScriptWords {
  readonly meanOf: string;
  readonly meanOfSet: string;
  readonly swingsOf: string;
  readonly otherSwings: string;
  readonly against: string;
  readonly chosen: string;
  readonly noSet: string;
  readonly at: string;
  readonly near: string;
  readonly between: string;
  readonly figureSays: string;
  readonly figureMissing: string;
  readonly noValue: string;
  readonly to: string;
  readonly target: string;
  readonly noVerdict: string;
  readonly views: Readonly<Record<'front' | 'line' | 'above' | 'turned', string>>;
}

/** `template` with every `{name}` in it replaced; a name without a value stays as it is. */
export function fill(template: string, values: Readonly<Record<string, string | number>>): string {
  return template.replace(/\{(\w+)\}/g, (whole, name: string) => String(values[name] ?? whole));
}
