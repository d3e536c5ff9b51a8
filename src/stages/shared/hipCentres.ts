/** Hip joint centres by published regressions. Pelvis frame (X forward, Y up, Z right), origin mid-ASIS, millimetres, right hip. */

import type { HipMethod, Sex } from '../../model/dayPlan.ts';

/** Right hip; the left one has the opposite z. */
export type HipCentre_mm = readonly [x: number, y: number, z: number];

/**
 * Harrington 2007, J Biomech 40:595-602, two variables an axis: pelvic width (between the ASIS), pelvic depth (mid-ASIS to mid-PSIS) and
 * leg length (ASIS to medial malleolus), mm. Leave-one-out error about 5.2, 3.6, 3.2 mm.
 */
export function harringtonTwoVariables(width_mm: number, depth_mm: number, leg_mm: number): HipCentre_mm {
  return [-0.24 * depth_mm - 9.9, -0.16 * width_mm - 0.04 * leg_mm - 7.1, 0.28 * depth_mm + 0.16 * width_mm + 7.9];
}

/** Harrington 2007, one variable an axis: needs no leg length. */
export function harringtonOneVariable(width_mm: number, depth_mm: number): HipCentre_mm {
  return [-0.24 * depth_mm - 9.9, -0.3 * width_mm - 10.9, 0.33 * width_mm + 7.3];
}

/** Hara 2016, Sci Rep 6:37707: leg length alone, mm. Error about 5.2, 4.4, 3.8 mm. */
export function hara(leg_mm: number): HipCentre_mm {
  return [11 - 0.063 * leg_mm, -9 - 0.078 * leg_mm, 8 + 0.086 * leg_mm];
}

/** Bell 1990, J Biomech 23:617-621: 19, 30 and 36 % of the pelvic width. Mean error 19 mm: where nothing better is possible. */
export function bell1990(width_mm: number): HipCentre_mm {
  return [-0.19 * width_mm, -0.3 * width_mm, 0.36 * width_mm];
}

/** Bell 1989, Hum Mov Sci 8:3-16, adults after Tylkowski: 22 % behind, 30 % below, 14 % inside the ASIS. */
export function bell1989(width_mm: number): HipCentre_mm {
  return [-0.22 * width_mm, -0.3 * width_mm, 0.36 * width_mm];
}

/** Leardini 1999, J Biomech 32:99-103: 31 % of the depth, 9.6 % of the leg length, 38 % of the width (the last two from memory). */
export function leardini(width_mm: number, depth_mm: number, leg_mm: number): HipCentre_mm {
  return [-0.31 * depth_mm, -0.096 * leg_mm, 0.38 * width_mm];
}

/** Radius of a marker of 14 mm diameter, the usual one (common practice, no source). */
const MARKER_RADIUS_mm = 7;
const DAVIS_THETA_rad = (28.4 * Math.PI) / 180;
const DAVIS_BETA_rad = (18 * Math.PI) / 180;

/**
 * Davis 1991, Hum Mov Sci 10:575-587: C = 0.115 L − 15.3 mm, θ = 28.4°, β = 18°; the distance from ASIS to trochanter along the pelvis,
 * which the paper measures, by the usual regression 0.1288 L − 48.56 mm (from memory). The paper's pelvis frame rests on a sacrum
 * marker; the ISB's stands in for it. On 67 pelves 25 mm off (Mantovani 2016): for comparison with older results.
 */
export function davis(width_mm: number, leg_mm: number, markerRadius_mm = MARKER_RADIUS_mm): HipCentre_mm {
  const c = 0.115 * leg_mm - 15.3;
  const forward = 0.1288 * leg_mm - 48.56 + markerRadius_mm;
  const along = c * Math.cos(DAVIS_THETA_rad);
  return [
    along * Math.sin(DAVIS_BETA_rad) - forward * Math.cos(DAVIS_BETA_rad),
    -along * Math.cos(DAVIS_BETA_rad) - forward * Math.sin(DAVIS_BETA_rad),
    width_mm / 2 - c * Math.sin(DAVIS_THETA_rad),
  ];
}

/** Dumas and Wojtusch 2018, Handbook of Human Motion: shares of the pelvic width by sex; null gives the mean of both. */
export function dumasHip(width_mm: number, sex: Sex | null): HipCentre_mm {
  return bySex(
    sex,
    [-0.139 * width_mm, -0.336 * width_mm, 0.372 * width_mm],
    [-0.095 * width_mm, -0.37 * width_mm, 0.361 * width_mm],
  );
}

/** Lumbar joint (L5–S1), Dumas and Wojtusch 2018, in the same frame; null gives the mean of both. */
export function dumasLumbar(width_mm: number, sex: Sex | null): HipCentre_mm {
  return bySex(sex, [-0.34 * width_mm, 0.049 * width_mm, 0], [-0.335 * width_mm, -0.032 * width_mm, 0]);
}

function bySex(sex: Sex | null, female: HipCentre_mm, male: HipCentre_mm): HipCentre_mm {
  if (sex !== null) return sex === 'female' ? female : male;
  return [(female[0] + male[0]) / 2, (female[1] + male[1]) / 2, (female[2] + male[2]) / 2];
}

/** What the regressions ask for. Depth is null where there is no PSIS, leg length where there is no malleolus. */
export interface HipSizes {
  readonly width_mm: number;
  readonly depth_mm: number | null;
  readonly leg_mm: number | null;
  readonly sex: Sex | null;
}

/** A centre with the name of its regression, as it stands in the datum. */
export interface NamedHipCentre {
  readonly centre_mm: HipCentre_mm;
  readonly regression: string;
}

/** The best regression for what there is: Harrington with depth, Hara with leg length alone, Bell 1990 without either. */
export function bestHipCentre(width_mm: number, depth_mm: number | null, leg_mm: number | null): NamedHipCentre {
  const harrington = hipCentreBy('harrington', { width_mm, depth_mm, leg_mm, sex: null });
  if (harrington !== null) return harrington;
  if (leg_mm !== null) return { centre_mm: hara(leg_mm), regression: 'Hara 2016' };
  return { centre_mm: bell1990(width_mm), regression: 'Bell 1990' };
}

/** A named regression, or null where a size that it needs is not known. */
export function hipCentreBy(method: HipMethod, sizes: HipSizes): NamedHipCentre | null {
  const { width_mm, depth_mm, leg_mm, sex } = sizes;
  switch (method) {
    case 'harrington':
      if (depth_mm === null) return null;
      return leg_mm === null
        ? { centre_mm: harringtonOneVariable(width_mm, depth_mm), regression: 'Harrington 2007, one variable' }
        : {
            centre_mm: harringtonTwoVariables(width_mm, depth_mm, leg_mm),
            regression: 'Harrington 2007, two variables',
          };
    case 'hara':
      return leg_mm === null ? null : { centre_mm: hara(leg_mm), regression: 'Hara 2016' };
    case 'bell':
      return { centre_mm: bell1990(width_mm), regression: 'Bell 1990' };
    case 'davis':
      return leg_mm === null ? null : { centre_mm: davis(width_mm, leg_mm), regression: 'Davis 1991' };
    case 'leardini':
      if (depth_mm === null || leg_mm === null) return null;
      return { centre_mm: leardini(width_mm, depth_mm, leg_mm), regression: 'Leardini 1999' };
    case 'dumas-wojtusch':
      return {
        centre_mm: dumasHip(width_mm, sex),
        regression: `Dumas and Wojtusch 2018, ${sex ?? 'mean of female and male'}`,
      };
  }
}

/** What each regression needs beside the two ASIS, in words, for the message where it is lacking. */
export const HIP_METHOD_NEEDS: Readonly<Record<HipMethod, string>> = {
  harrington: 'both PSIS',
  hara: 'a medial malleolus',
  bell: 'nothing more',
  davis: 'a medial malleolus',
  leardini: 'both PSIS and a medial malleolus',
  'dumas-wojtusch': 'nothing more',
};
