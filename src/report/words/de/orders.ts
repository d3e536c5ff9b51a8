import type { JointId } from '../../../model/joints.ts';
import type { SegmentId } from '../../../model/motion.ts';

type Limb<Side extends string> = Extract<SegmentId | JointId, `${Side}_${string}`>;

/** Of one side: what it is called before a masculine, feminine and neuter name. */
function limbsOf<Side extends 'lead' | 'trail'>(side: Side, m: string, f: string, n: string) {
  const names: Readonly<Record<string, string>> = {
    shoulder: `${f} Schulter`,
    upper_arm: `${m} Oberarm`,
    elbow: `${m} Ellbogen`,
    forearm: `${m} Unterarm`,
    wrist: `${n} Handgelenk`,
    hand: `${f} Hand`,
    hip: `${f} Hüfte`,
    thigh: `${m} Oberschenkel`,
    knee: `${n} Knie`,
    shank: `${m} Unterschenkel`,
    ankle: `${n} Sprunggelenk`,
    foot: `${m} Fuß`,
  };
  const own = Object.entries(names).map(([part, name]) => [`${side}_${part}`, name]);
  return Object.fromEntries(own) as Readonly<Record<Limb<Side>, string>>;
}

const ROTATIONS: Readonly<Record<SegmentId | JointId, string>> = {
  pelvis: 'Becken',
  thorax: 'Brustkorb',
  head: 'Kopf',
  trunk: 'Brustkorb gegen Becken',
  neck: 'Kopf gegen Brustkorb',
  ...limbsOf('lead', 'vorderer', 'vordere', 'vorderes'),
  ...limbsOf('trail', 'hinterer', 'hintere', 'hinteres'),
};

export const ORDERS = {
  title: '{name}: alle Achsenfolgen, {group} gegen {reference}',
  block: '{quantity}, Unterschied in °',
  others: 'Folgen ohne diese Winkel: Urteil über jeden der drei',
  main: '{order} (Hauptfolge)',
  key: 'Gerahmt: anderes Urteil als in der Hauptfolge, dick, wo „weicht ab“ dazukommt oder wegfällt. Grau: Schwünge höchstens 10° vor der singulären Stellung.',
  rotation: (id: string): string => (Object.hasOwn(ROTATIONS, id) ? ROTATIONS[id as SegmentId | JointId] : id),
  because: 'Achsenfolge ({name}): {reason}',
  nothing: 'Achsenfolge ({name}): kein Urteil, das mit anderen Folgen verglichen werden könnte',
  count:
    'Achsenfolge ({name}): {n} von {of} Urteilen an den Positionen ({order}) fielen in einer anderen Folge abseits ihrer singulären Stellung anders aus{departs}',
  departs: '; bei {n} davon kommt „weicht ab“ dazu oder fällt weg',
  change: '{what} {verdict}; {others}',
  other: '{verdict} in {orders}',
};
