import type { Link, OrderMethod } from '../../../model/orderOfMotion.ts';

const LINK_WORDS: Readonly<Record<Link, string>> = {
  pelvis: 'Becken',
  thorax: 'Brustkorb',
  lead_upper_arm: 'vord. Oberarm',
  lead_forearm: 'vord. Unterarm',
  lead_hand: 'vordere Hand',
  club: 'Schläger',
};

const METHODS: Readonly<Record<OrderMethod, string>> = {
  magnitude: 'gesamte Drehgeschwindigkeit',
  long_axis: 'um die Längsachse',
  swing_plane: 'in der Schwungebene',
};

export const ORDER = {
  links: LINK_WORDS,
  shortLinks: { ...LINK_WORDS, lead_upper_arm: 'Oberarm', lead_forearm: 'Unterarm', lead_hand: 'Hand' },
  methods: METHODS,
  together: '{links} etwa zugleich',
  next: ', ',
  afterwards: ', dann ',
  both: '{group} und {reference} in einer Reihenfolge: {order}.',
  side: '{label}: {order}.',
  isOpen: 'Ob die beiden sich wirklich unterscheiden, ist offen.',
  allAgree: 'Alle drei Messweisen ergeben diese Reihenfolge.',
  agrees: '{method} ist die Reihenfolge dieselbe.',
  methodsOpen: 'Ob eine andere Messweise die Reihenfolge ändern würde, ist offen.',
  methodsMatter: 'Die Messweise macht hier einen Unterschied (Details).',
  methodMatters: 'Die Messweise macht hier einen Unterschied: {method} wäre die Reihenfolge mit {label} {order}.',
  absent: 'Kein Wert für {links}: {cause}.',
  none: 'Keine Reihenfolge der Bewegung: {cause}.',
  description: 'Schnellste Drehung vor dem Treffmoment: {times}.',
  gain: '{link} über {before}: {gains}',
  gains: 'Höchste Geschwindigkeit im Verhältnis zu der des Glieds davor. {gains}.',
  inSwings: 'in {n} von {of} Schwüngen',
  atImpact: 'Im Treffmoment noch schneller werdend, als 0 ms gezählt: {links}.',
  title: 'Bewegungsfolge',
  titleOf: 'Bewegungsfolge, {method}',
  fastest: 'am schnellsten',
  fastestBefore: 'schnellste Drehung vor dem Treffmoment',
  msBefore: 'ms davor',
  impact: 'Treffen',
  terms: { gain: 'Zuwachs', atImpact: 'im Treffmoment', how: 'wie' },
  how: 'Marke und Linie: wann das Glied zwischen höchstem Punkt und Treffmoment am schnellsten dreht, Mittel der Schwünge mit 95-%-Intervall; daneben die mittlere Höchstgeschwindigkeit ± Standardabweichung über die Schwünge. Die gesamte Drehgeschwindigkeit ist der Betrag der Winkelgeschwindigkeit, beim Schläger die des Schafts ohne die Drehung um sich selbst; die beiden anderen sind ihre Anteile um die Längsachse des Glieds und um die Normale der Schwungebene. Die Wahl kann die Reihenfolge ändern (Marsan und andere 2019), darum stehen alle da. Beschrieben, nicht bewertet: keine Reihenfolge heißt richtig.',
};
