/** Limits of the faults of segments, time base and club: each with its reason. The day file can set those that `faults:` names. */

/** Segments whose markers are one cluster, by the word that is left when the side is taken off. */
export const SKIN_SEGMENTS = ['head', 'pelvis', 'thorax', 'upper arm', 'forearm', 'thigh', 'shank', 'foot'] as const;
export type SkinSegment = (typeof SKIN_SEGMENTS)[number];

export interface BodyFaultLimits {
  /**
   * How far a marker moves on its segment because of skin, metres; two markers change their distance by at most twice this before the
   * segment counts as broken.
   */
  readonly skin_m: Readonly<Record<SkinSegment, number>>;
  /** P4 to P7 and P1 to P4, seconds. */
  readonly downswing_s: readonly [number, number];
  readonly backswing_s: readonly [number, number];
  /** Largest share of the frames around impact in which a marker of the club may be missing. */
  readonly clubLost: number;
  /** Largest change of the distances between the markers of the club head around impact, RMS, beyond noise, metres. */
  readonly clubBlur_m: number;
  /** Largest difference of the head point's place on the club from the other swings of that club, metres. */
  readonly headPoint_m: number;
}

export const DEFAULT_BODY_FAULT_LIMITS: BodyFaultLimits = {
  // Typical largest shifts of skin markers over bone, from memory: Leardini et al. 2005, Gait Posture 21:212-225 (thigh 10 to 30 mm,
  // shank 5 to 15); Cappozzo et al. 1996, Clin Biomech 11:90-100 (trochanter and thigh up to 40, malleoli up to 15); Hara et al. 2014,
  // Clin Biomech 29:790 (pelvis up to 17); Heneghan & Balanos 2010, Man Ther 15 (thoracic spine up to 16); Cutti et al. 2005,
  // Med Biol Eng Comput 43 (upper arm up to 20). Head: a band or cap slips by some millimetres (common practice, no source). The foot is
  // not stiff: the toes bend when the heel leaves the ground (common practice, no source).
  skin_m: {
    head: 0.008,
    pelvis: 0.017,
    thorax: 0.018,
    'upper arm': 0.02,
    forearm: 0.015,
    thigh: 0.03,
    shank: 0.015,
    foot: 0.02,
  },
  // Common practice, no source: downswings take 0.2 to 0.35 s, backswings 0.6 to 1.2 s; wide limits around them.
  downswing_s: [0.12, 0.6],
  backswing_s: [0.3, 2.5],
  // A fit before impact on fewer than four samples in five has no longer the accuracy that is stated for it. A choice of this program.
  clubLost: 0.2,
  // On a head whose markers are 0.1 m apart 2 mm turn the face by 1°. A choice of this program.
  clubBlur_m: 0.002,
  // 50 mm nearer the toe is 5 % of speed, 40 mm behind the face 2.2° of path: 6 mm are 0.6 % and 0.3°.
  headPoint_m: 0.006,
};

/** The limits of a segment such as 'lead thigh'. @throws RangeError for a segment without one */
export function skinOf(segment: string, limits: BodyFaultLimits): number {
  const bare = segment.startsWith('lead ')
    ? segment.slice(5)
    : segment.startsWith('trail ')
      ? segment.slice(6)
      : segment;
  const found = limits.skin_m[bare as SkinSegment];
  if (found === undefined) throw new RangeError(`no limit of skin for the segment ${segment}`);
  return found;
}
