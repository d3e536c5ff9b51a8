/** Units written in a header: `gyro_x [deg/s]`, `acc (m/s²)`, or a row of units beneath the names. */

const SYMBOLS =
  /^(?:[munkµμ]?s|sec|seconds?|min|ms|h|hz|khz|rad|rads|mrad|deg|degrees?|°|º|dps|rps|rpm|g|mg|g0|gn|m|mm|cm|km|in|ft|[munµμ]?t|gauss|mgauss|ga|[mµμ]?v|pa|hpa|kpa|mbar|bar|k|c|°c|degc|n|kn|%|lsb|counts?|count|a\.?u\.?|arb|none|unitless|dimensionless|quat|quaternion|-|–|1)$/i;

/** Whether a text reads as a unit: known symbols with exponents, joined by / · * . or blanks. */
export function isUnitText(text: string): boolean {
  const plain = text.trim();
  if (plain.length === 0 || plain.length > 24) return false;
  const parts = plain.split(/[\s/·⋅*]+/).filter((part) => part !== '');
  return parts.length > 0 && parts.every((part) => SYMBOLS.test(withoutExponent(part)));
}

function withoutExponent(part: string): string {
  return /^[0-9-]$/.test(part) ? part : part.replace(/(?:\^?\(?[-−]?[1-3]\)?|[⁻]?[¹²³])$/, '');
}

/** The name without a unit in brackets at its end, and the unit; the brackets stay part of the name where they hold no unit. */
export function splitUnit(name: string): { readonly name: string; readonly unit: string } {
  const last = name.at(-1);
  const open = last === ']' ? name.lastIndexOf('[') : last === ')' ? openingOf(name) : -1;
  if (open > 0) {
    const unit = name.slice(open + 1, -1).trim();
    const rest = name.slice(0, open).trim();
    if (rest !== '' && isUnitText(unit)) return { name: rest, unit };
  }
  return { name, unit: '' };
}

/** The bracket that the closing one at the end belongs to; −1 where there is none. */
function openingOf(name: string): number {
  let depth = 0;
  for (let i = name.length - 1; i >= 0; i--) {
    if (name[i] === ')') depth += 1;
    else if (name[i] === '(') {
      depth -= 1;
      if (depth === 0) return i;
    }
  }
  return -1;
}

/** A unit without brackets around it. */
export function bareUnit(text: string): string {
  const plain = text.trim();
  return /^\[[^[\]]*\]$|^\([^()]*\)$/.test(plain) ? plain.slice(1, -1).trim() : plain;
}
