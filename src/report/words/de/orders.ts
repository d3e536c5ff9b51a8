import { ROTATIONS } from './segments.ts';

export const ORDERS = {
  title: '{name}: alle Achsenfolgen, {group} gegen {reference}',
  block: '{quantity}, Unterschied in °',
  others: 'Folgen ohne diese Winkel: Urteil über jeden der drei',
  main: '{order} (Hauptfolge)',
  key: 'Gerahmt: anderes Urteil als in der Hauptfolge, dick, wo „weicht ab“ dazukommt oder wegfällt. Grau: Schwünge höchstens 10° vor der singulären Stellung.',
  rotation: (id: string): string => (Object.hasOwn(ROTATIONS, id) ? ROTATIONS[id as keyof typeof ROTATIONS] : id),
  because: 'Achsenfolge ({name}): {reason}',
  nothing: 'Achsenfolge ({name}): kein Urteil, das mit anderen Folgen verglichen werden könnte',
  count:
    'Achsenfolge ({name}): {n} von {of} Urteilen an den Positionen ({order}) fielen in einer anderen Folge abseits ihrer singulären Stellung anders aus{departs}',
  departs: '; bei {n} davon kommt „weicht ab“ dazu oder fällt weg',
  change: '{what} {verdict}; {others}',
  other: '{verdict} in {orders}',
};
