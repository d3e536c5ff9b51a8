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

/** Every segment and joint. */
export const ROTATIONS: Readonly<Record<SegmentId | JointId, string>> = {
  pelvis: 'Becken',
  thorax: 'Brustkorb',
  head: 'Kopf',
  trunk: 'Brustkorb gegen Becken',
  neck: 'Kopf gegen Brustkorb',
  ...limbsOf('lead', 'vorderer', 'vordere', 'vorderes'),
  ...limbsOf('trail', 'hinterer', 'hintere', 'hinteres'),
};
