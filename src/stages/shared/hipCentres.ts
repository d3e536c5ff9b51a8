/** Hip joint centres by published regressions. Pelvis frame (X forward, Y up, Z right), origin mid-ASIS, millimetres, right hip. */

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

/** Dumas and Wojtusch 2018, Handbook of Human Motion: shares of the pelvic width by sex. */
export function dumasHip(width_mm: number, sex: 'female' | 'male'): HipCentre_mm {
  return sex === 'female'
    ? [-0.139 * width_mm, -0.336 * width_mm, 0.372 * width_mm]
    : [-0.095 * width_mm, -0.37 * width_mm, 0.361 * width_mm];
}

/** Lumbar joint, Dumas and Wojtusch 2018, in the same frame. */
export function dumasLumbar(width_mm: number, sex: 'female' | 'male'): HipCentre_mm {
  return sex === 'female' ? [-0.34 * width_mm, 0.049 * width_mm, 0] : [-0.335 * width_mm, -0.032 * width_mm, 0];
}

/** The best regression for what there is, with its name. Depth is null where there is no PSIS, leg length where there is no malleolus. */
export function bestHipCentre(
  width_mm: number,
  depth_mm: number | null,
  leg_mm: number | null,
): { readonly centre_mm: HipCentre_mm; readonly regression: string } {
  if (depth_mm !== null && leg_mm !== null) {
    return {
      centre_mm: harringtonTwoVariables(width_mm, depth_mm, leg_mm),
      regression: 'Harrington 2007, two variables',
    };
  }
  if (depth_mm !== null) {
    return { centre_mm: harringtonOneVariable(width_mm, depth_mm), regression: 'Harrington 2007, one variable' };
  }
  if (leg_mm !== null) return { centre_mm: hara(leg_mm), regression: 'Hara 2016' };
  return { centre_mm: bell1990(width_mm), regression: 'Bell 1990' };
}
