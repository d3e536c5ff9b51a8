/** Segment axes from landmarks: the ISB's X anterior, Y proximal, Z right. Kernels on plain numbers, nothing allocated. */

/**
 * Rotation with Z exactly along z and X as near to `x` as a right angle allows, Y = Z × X; row-major at `off`, columns are the axes.
 * Parallel or zero inputs, or NaN, give NaN.
 */
export function frameFromZX(
  zx: number,
  zy: number,
  zz: number,
  xx: number,
  xy: number,
  xz: number,
  out: Float64Array,
  off: number,
): void {
  const zn = 1 / Math.sqrt(zx * zx + zy * zy + zz * zz);
  const cx = zx * zn;
  const cy = zy * zn;
  const cz = zz * zn;
  let bx = cy * xz - cz * xy;
  let by = cz * xx - cx * xz;
  let bz = cx * xy - cy * xx;
  const yn = 1 / Math.sqrt(bx * bx + by * by + bz * bz);
  bx *= yn;
  by *= yn;
  bz *= yn;
  storeAxes(by * cz - bz * cy, bz * cx - bx * cz, bx * cy - by * cx, bx, by, bz, cx, cy, cz, out, off);
}

/**
 * Rotation with Y exactly along y and Z as near to `z` as a right angle allows, X = Y × Z; row-major at `off`, columns are the axes.
 * Parallel or zero inputs, or NaN, give NaN.
 */
export function frameFromYZ(
  yx: number,
  yy: number,
  yz: number,
  zx: number,
  zy: number,
  zz: number,
  out: Float64Array,
  off: number,
): void {
  const yn = 1 / Math.sqrt(yx * yx + yy * yy + yz * yz);
  const bx = yx * yn;
  const by = yy * yn;
  const bz = yz * yn;
  let ax = by * zz - bz * zy;
  let ay = bz * zx - bx * zz;
  let az = bx * zy - by * zx;
  const xn = 1 / Math.sqrt(ax * ax + ay * ay + az * az);
  ax *= xn;
  ay *= xn;
  az *= xn;
  storeAxes(ax, ay, az, bx, by, bz, ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx, out, off);
}

function storeAxes(
  ax: number,
  ay: number,
  az: number,
  bx: number,
  by: number,
  bz: number,
  cx: number,
  cy: number,
  cz: number,
  out: Float64Array,
  off: number,
): void {
  const bad = !(Number.isFinite(ax + ay + az) && Number.isFinite(bx + by + bz) && Number.isFinite(cx + cy + cz));
  out[off] = bad ? Number.NaN : ax;
  out[off + 1] = bad ? Number.NaN : bx;
  out[off + 2] = bad ? Number.NaN : cx;
  out[off + 3] = bad ? Number.NaN : ay;
  out[off + 4] = bad ? Number.NaN : by;
  out[off + 5] = bad ? Number.NaN : cy;
  out[off + 6] = bad ? Number.NaN : az;
  out[off + 7] = bad ? Number.NaN : bz;
  out[off + 8] = bad ? Number.NaN : cz;
}

/** `p` holds the landmarks' coordinates, three numbers each, in the order the kernel names; the rotation goes to `out` at `off`. */
export type FrameKernel = (p: Float64Array, out: Float64Array, off: number) => void;

/** p: lead ASIS, trail ASIS, lead PSIS, trail PSIS. Z along the ASIS line, X in the plane of ASIS and mid-PSIS (Wu 2002, J Biomech 35:543-548). */
export function pelvisFrame(p: Float64Array, out: Float64Array, off: number): void {
  pelvisAxes(p, (p[6]! + p[9]!) / 2, (p[7]! + p[10]!) / 2, (p[8]! + p[11]!) / 2, out, off);
}

/** p: lead ASIS, trail ASIS, sacrum, which stands in for the middle of the PSIS. */
export function pelvisFrameSacrum(p: Float64Array, out: Float64Array, off: number): void {
  pelvisAxes(p, p[6]!, p[7]!, p[8]!, out, off);
}

function pelvisAxes(p: Float64Array, bx: number, by: number, bz: number, out: Float64Array, off: number): void {
  frameFromZX(
    p[3]! - p[0]!,
    p[4]! - p[1]!,
    p[5]! - p[2]!,
    (p[0]! + p[3]!) / 2 - bx,
    (p[1]! + p[4]!) / 2 - by,
    (p[2]! + p[5]!) / 2 - bz,
    out,
    off,
  );
}

/**
 * p: IJ, PX, C7, T8 (or its substitute). Y from mid(PX, T8) to mid(IJ, C7); Z normal to the plane of IJ, C7 and mid(PX, T8), to the right
 * (Wu 2005, J Biomech 38:981-992).
 */
export function thoraxFrame(p: Float64Array, out: Float64Array, off: number): void {
  const lx = (p[3]! + p[9]!) / 2;
  const ly = (p[4]! + p[10]!) / 2;
  const lz = (p[5]! + p[11]!) / 2;
  const ix = p[0]! - lx;
  const iy = p[1]! - ly;
  const iz = p[2]! - lz;
  const cx = p[6]! - lx;
  const cy = p[7]! - ly;
  const cz = p[8]! - lz;
  frameFromYZ(
    (ix + cx) / 2,
    (iy + cy) / 2,
    (iz + cz) / 2,
    iy * cz - iz * cy,
    iz * cx - ix * cz,
    ix * cy - iy * cx,
    out,
    off,
  );
}

/**
 * p: lead and trail ear (or head-band back), lead and trail orbit (or head-band front). Z from the lead to the trail side of all four,
 * X from the back pair to the front pair made perpendicular, Y = Z × X. Technical: the ISB papers define no head.
 */
export function headFrame(p: Float64Array, out: Float64Array, off: number): void {
  frameFromZX(
    p[3]! - p[0]! + p[9]! - p[6]!,
    p[4]! - p[1]! + p[10]! - p[7]!,
    p[5]! - p[2]! + p[11]! - p[8]!,
    p[6]! + p[9]! - p[0]! - p[3]!,
    p[7]! + p[10]! - p[1]! - p[4]!,
    p[8]! + p[11]! - p[2]! - p[5]!,
    out,
    off,
  );
}
