/** What is not alike between the days of a season beside the swings: never mixed silently. */
import type { CompareOptions } from '../model/dayPlan.ts';
import type { TrialHead } from '../model/trial.ts';

export interface SeasonDay {
  readonly date: string;
  readonly options: Pick<CompareOptions, 'margins' | 'primary' | 'reapplication'>;
  readonly smoothing: string;
  readonly records: readonly { readonly head: Pick<TrialHead, 'source'> }[];
}

/** Days by date. What changes is said with the dates on which it does; the version of the program is said elsewhere. */
export function seasonNotes(days: readonly SeasonDay[]): readonly string[] {
  const changed = (of: (day: SeasonDay) => string): readonly string[] =>
    days.filter((day, index) => index > 0 && of(day) !== of(days[index - 1]!)).map(({ date }) => date);
  const said = (what: string, of: (day: SeasonDay) => string, used: string): readonly string[] => {
    const dates = changed(of);
    return dates.length === 0 ? [] : [`${what} changed on ${dates.join(', ')}${used}`];
  };
  const sensors = days.some(({ records }) => records.some(({ head }) => head.source === 'sensors'));
  return [
    ...said('margins', ({ options }) => JSON.stringify(options.margins), '; those of the last day are used'),
    ...said(
      'the re-application',
      ({ options }) => JSON.stringify(options.reapplication ?? {}),
      '; that of the last day is used',
    ),
    ...said('the primary comparisons', ({ options }) => options.primary.join(' '), '; those of the last day are used'),
    ...said('the smoothing', ({ smoothing }) => smoothing, ', and a step there may be of it'),
    ...(sensors ? ['swings of sensors are left out: each calibration has a zero of its own'] : []),
  ];
}
