/** Swings that no player makes: a doubtful time base shows here. */

import type { Diagnostic } from '../../base/diagnostics.ts';
import { formatFixed } from '../../base/format.ts';
import type { Track } from '../../model/track.ts';
import { positionDiagnostic } from './diagnosticCodes.ts';

/** Backswings of golfers take about 0.6 to 1.2 s, downswings 0.2 to 0.35 s (common practice, no source); wide limits around them. */
const BACKSWING_s = [0.45, 2.5] as const;
const DOWNSWING_s = [0.14, 0.8] as const;
/** The head moves at 3 to 8 m/s in a backswing; nobody reaches 70 m/s at impact. */
const BACKSWING_SPEED_mPerS = 20;
const IMPACT_SPEED_mPerS = 70;
/** The head is at the ball within this distance of its place at impact. */
const AT_BALL_m = 0.3;

export interface SwingTimes {
  readonly p1_s: number | null;
  readonly top_s: number | null;
  readonly p7_s: number | null;
}

/** Diagnostics with the numbers; `speeds` are the head's between frames, m/s. */
export function checkPlausible(
  times: SwingTimes,
  head: Track<3> | null,
  speeds: Float64Array | null,
  diagnostics: Diagnostic[],
): void {
  const { p1_s, top_s, p7_s } = times;
  if (top_s === null) return;
  if (p1_s !== null) {
    const back = top_s - p1_s;
    if (back < BACKSWING_s[0] || back > BACKSWING_s[1]) {
      diagnostics.push(
        positionDiagnostic(
          'implausible-backswing',
          `P1 to P4 takes ${formatFixed(back, 2)} s; 0.45 to 2.5 s are possible`,
        ),
      );
    }
  } else if (head !== null && p7_s !== null) checkFromBall(head, speeds, top_s, p7_s, diagnostics);
  if (p7_s === null) return;
  const down = p7_s - top_s;
  if (down < DOWNSWING_s[0] || down > DOWNSWING_s[1]) {
    diagnostics.push(
      positionDiagnostic(
        'implausible-downswing',
        `P4 to P7 takes ${formatFixed(down, 3)} s; 0.14 to 0.8 s are possible`,
      ),
    );
  }
  if (head === null || speeds === null) return;
  const { rate_Hz } = head.clock;
  const peak = peakSpeed(speeds, Math.floor(top_s * rate_Hz), Math.ceil(p7_s * rate_Hz));
  if (peak > IMPACT_SPEED_mPerS) {
    diagnostics.push(
      positionDiagnostic(
        'implausible-downswing',
        `the head moves at up to ${formatFixed(peak, 0)} m/s before impact; 70 m/s are possible`,
      ),
    );
  }
}

/** Without an address: the last time the head was at the ball before the top, and how fast it came from there. */
function checkFromBall(
  head: Track<3>,
  speeds: Float64Array | null,
  top_s: number,
  p7_s: number,
  diagnostics: Diagnostic[],
): void {
  const { rate_Hz } = head.clock;
  const top = Math.floor(top_s * rate_Hz);
  const left = lastAtBall(head, top_s, p7_s);
  const peak = speeds === null ? Number.NaN : peakSpeed(speeds, Math.max(0, left), top);
  const back = (top - left) / rate_Hz;
  const tooShort = left >= 0 && back < BACKSWING_s[0];
  if (!tooShort && !(peak > BACKSWING_SPEED_mPerS)) return;
  const from =
    left >= 0 ? `from the ball to the top takes ${formatFixed(back, 2)} s; 0.45 s or more are possible; ` : '';
  diagnostics.push(
    positionDiagnostic(
      'implausible-backswing',
      `${from}the head moves at up to ${formatFixed(peak, 0)} m/s before the top`,
    ),
  );
}

/** The last frame before the top in which the head is at its place of impact; −1 where there is none. */
export function lastAtBall(head: Track<3>, top_s: number, p7_s: number): number {
  const { frames, rate_Hz } = head.clock;
  const impact = Math.min(frames - 1, Math.floor(p7_s * rate_Hz));
  let left = -1;
  for (let f = 0; f < Math.floor(top_s * rate_Hz); f++) {
    let squares = 0;
    for (let c = 0; c < 3; c++) {
      const d = head.data[c * frames + f]! - head.data[c * frames + impact]!;
      squares += d * d;
    }
    if (squares < AT_BALL_m * AT_BALL_m) left = f;
  }
  return left;
}

function peakSpeed(speeds: Float64Array, from: number, to: number): number {
  let best = Number.NaN;
  for (let f = Math.max(0, from); f < Math.min(speeds.length, to); f++) {
    const v = speeds[f]!;
    if (!(v <= best) && !Number.isNaN(v)) best = v;
  }
  return best;
}
