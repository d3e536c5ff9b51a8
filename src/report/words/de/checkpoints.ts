export const CHECKPOINTS = {
  states: { met: 'erfüllt', 'not-met': 'nicht erfüllt', 'not-measured': 'nicht gemessen' },
  severe: '{state}, deutlich',
  counts: '{rules}: {states}',
  count: '{n} {state}',
  change: '{quantity}, Änderung von {from} bis {position}',
  changeWithoutTurn: '{quantity}, Änderung von {from} bis {position} ohne die der Drehung',
  begins: {
    falls: '{quantity} beginnt zu fallen ({from} bis {position}) bei',
    rises: '{quantity} beginnt zu steigen ({from} bis {position}) bei',
  },
  band: {
    between: 'Bereich {low} bis {high}{severe}.',
    least: 'Bereich ab {low}{severe}.',
    most: 'Bereich bis {high}{severe}.',
    severe: ', deutlich {limits}',
    below: 'unter {limit}',
    above: 'über {limit}',
    or: ' oder ',
  },
  noValue: '{what}: {reason}.',
  value: '{what} {value} ({about}).',
  scatterOfSwings: 'SD {sd}',
  notMeasured: 'Nicht gemessen: {reason}.',
  eachMeets: 'jeder erfüllt sie',
  noneMeets: 'keiner erfüllt sie',
  someMeet: '{n} davon erfüllen sie',
  turn: {
    said: 'Gelesen mit der Drehung: {start}{turn} bei {position}{alone}.',
    start: '{turn} bei {position}, ',
    takenOff: '; dafür {change} abgezogen',
    wouldChange: '; sie allein änderte es um {change}',
  },
  referenceRule: 'Regel: keine Abweichung gegenüber {reference}.',
  scatter: 'Innerhalb der Streuung: das Mittel liegt zwischen {low} und {high} (95 %).',
};

export const DOUBTS = {
  review: 'zu prüfen: {found}',
  byHand: ({ note, found }: { readonly note: string; readonly found: string }): string =>
    `von Hand angenommen${note === '' ? '' : `: ${note}`}${found === '' ? '' : ` (gefunden: ${found})`}`,
  outlying: 'abseits unter {swings} ({group}): {values} von ihrem Median ({how})',
  outlyingValue: '{quantity} bei {position} {deviation}',
  distance: 'Abstand {distance}, Grenze {limit}',
};
