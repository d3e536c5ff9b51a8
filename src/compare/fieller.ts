import type { Estimate } from '../model/sessions.ts';
import { tQuantile } from '../numeric/distributions.ts';
import type { Difference } from './twoSamples.ts';

/**
 * 1 − a/b with its interval, for independent estimates a and b: the share of b that is gone. Fieller's theorem (Fieller 1954, J R Stat
 * Soc B 16:175-185, from memory): the ratios r for which a − r·b, of variance se_a² + r²·se_b², is not refused at the level. Degrees of
 * freedom by Satterthwaite for the combination at the estimated ratio. Null where b is not certain to be other than 0 (the interval would
 * have no ends).
 */
export function closedShare(a: Difference, b: Difference, level = 0.95): Estimate {
  const none = { value: null, low95: null, high95: null };
  const va = a.se * a.se;
  const vb = b.se * b.se;
  const ratio = a.difference / b.difference;
  if (!Number.isFinite(ratio) || !Number.isFinite(va + vb)) return none;
  if (va + vb === 0) return { value: 1 - ratio, low95: 1 - ratio, high95: 1 - ratio };
  const wb = ratio * ratio * vb;
  const df = ((va + wb) * (va + wb)) / (share(va, a.df) + share(wb, b.df));
  if (!(df > 0)) return none;
  const t = tQuantile(0.5 + 0.5 * level, df);
  const t2 = t * t;
  const lead = b.difference * b.difference - t2 * vb;
  if (lead <= 0) return none;
  const root = Math.sqrt(
    Math.max(0, a.difference * a.difference * vb + b.difference * b.difference * va - t2 * va * vb),
  );
  const middle = a.difference * b.difference;
  return {
    value: 1 - ratio,
    low95: 1 - (middle + t * root) / lead,
    high95: 1 - (middle - t * root) / lead,
  };
}

/** One term of Satterthwaite's sum; an estimate without scatter has none. */
function share(variance: number, df: number): number {
  return variance === 0 ? 0 : (variance * variance) / df;
}
