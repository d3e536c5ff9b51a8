export const FINDINGS = {
  noComparison: 'Kein Vergleich: {reason}.',
  noVerdictBecause: 'Kein Urteil: {reason}.',
  noVerdict: 'Kein Urteil{because} ({group} {groupSwings}, {reference} {referenceSwings}).',
  onlyOnce:
    'Kein Urteil über den Körper{because}; {matching} von {told} Vergleichen von Schläger und Tempo stimmen überein.',
  onlySetUp:
    'Nur der Aufbau weicht gegenüber {reference} ab; nach dem Ansprechen ist mit diesen Schwüngen keine Abweichung {body} sicher, und {matching} von {told} Vergleichen stimmen überein.',
  nothing:
    'Keine Abweichung {body} gegenüber {reference} ist mit diesen Schwüngen sicher; {matching} von {told} Vergleichen stimmen überein.',
  theBody: 'des Körpers',
  theTrunk: 'von Becken, Brustkorb oder Kopf',
  lead: '{phrase} {clause} als mit {reference} ({numbers}).',
  leadInterval: '95-%-Intervall des Unterschieds {interval}',
  sure: 'Wie sicher: in {share} der Neuziehungen dieser Schwünge beginnt es bei {position}{others}.',
  sureOthers: ', bei {others}',
  placeIn: '{position} in {share}',
  stillThere: 'Es besteht noch bei {places}.',
  limbs: (n: number, reference: string): string =>
    `${n} ${n === 1 ? 'Größe' : 'Größen'} von Armen, Beinen, Kräften und Körpergeschwindigkeit ${n === 1 ? 'weicht' : 'weichen'} gegenüber ${reference} ab (Details).`,
  setUpNote: 'Ein Teil davon gehört zum längeren Schläger.',
  setUpStays: 'Einiges davon bleibt im Schwung erhalten.',
  moreInDetails: '{n} weitere (Details)',
  furtherLeft: (n: number): string => `und ${n} weitere ${n === 1 ? 'Größe' : 'Größen'} (Details)`,
  matchesAt: '{quantity} bei {positions}',
  stretch: '{from} bis {to}',
  moreAtSome: (n: number): string => `an manchen Positionen ${n} weitere ${n === 1 ? 'Größe' : 'Größen'}`,
  undecided: '{n} von {told} Vergleichen sind noch offen',
  undecidedUntil: (opening: string, count: number, club: string): string => {
    const swings = count === 1 ? 'weiterer Schwung' : 'weitere Schwünge';
    return `${opening}; ${count > 40 ? 'mehr als 40' : `etwa ${count}`} ${swings} mit ${club} würden die meisten klären.`;
  },
  undecidedEnd: '{opening}.',
  headings: {
    setUp: 'Aufbau',
    slightly: 'Etwas',
    matches: 'Gleich',
    limbs: 'Glieder',
    open: 'Offen',
    note: 'Notiz',
    practice: 'Übung',
  },
  told: {
    setUp: 'Aufbau: {text}',
    slightly: 'Etwas anders: {text}',
    matches: 'Stimmt überein: {text}',
    whatMatches: 'Was übereinstimmt: {text}',
    at: '{position}: {text}',
  },
};
