/** What is asked of the order of motion on known swings, and what of it was met. */
import type { OrderMethod } from '../../src/model/orderOfMotion.ts';
import type { OrderError } from './orderTruth.ts';

const rms = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);
const median = (values: readonly number[]): number =>
  values.map(Math.abs).sort((a, b) => a - b)[Math.floor(values.length / 2)]!;

const TRUNK = ['pelvis', 'thorax'];
const ARM = ['lead_upper_arm', 'lead_forearm'];
const ALL = [...TRUNK, ...ARM, 'club'];

/** Errors of each link by one method, the worst of the links. */
function worst(
  links: readonly string[],
  method: OrderMethod,
  of: (errors: readonly OrderError[]) => number,
): (errors: readonly OrderError[]) => number {
  return (errors) =>
    Math.max(
      ...links.map((link) => {
        const own = errors.filter((error) => error.link === link && error.method === method);
        if (own.length === 0) throw new Error(`no ${link} by ${method}`);
        return of(own);
      }),
    );
}

const speed = (errors: readonly OrderError[]): number => 100 * rms(errors.map((error) => error.speed));
const time = (errors: readonly OrderError[]): number => 1000 * median(errors.map((error) => error.time_s));

interface OrderLimit {
  readonly what: string;
  readonly read: (errors: readonly OrderError[]) => number;
  readonly clean: number;
  readonly noisy: number;
  readonly noisy500: number;
}

/**
 * Without noise: what fourth differences and a quartic through five frames leave at 240 Hz; the swing plane is that of the head's path from P6 to the last frame,
 * up to 4 ms short of the true one's end. With 1 mm on landmarks 250 mm apart and 12 Hz: 0.1 rad/s of the trunk's 8 to 12; the line of the
 * epicondyles (72 mm) and of the wrist (56 mm) alone carry the turn of arm segments about their long axes: 0.7 to 1 rad/s of 4 to 5. A peak is flat:
 * noise moves it by what its bend allows. Limits are about 1.5 times what 60 swings measured.
 */
export const ORDER_LIMITS: readonly OrderLimit[] = [
  { what: 'peak speed by magnitude, %', read: worst(ALL, 'magnitude', speed), clean: 0.05, noisy: 3, noisy500: 2 },
  {
    what: 'peak speed of the trunk about the long axis, %',
    read: worst(TRUNK, 'long_axis', speed),
    clean: 0.05,
    noisy: 2.5,
    noisy500: 2,
  },
  {
    what: 'peak speed of arm segments about the long axis, %',
    read: worst(ARM, 'long_axis', speed),
    clean: 0.05,
    noisy: 22,
    noisy500: 15,
  },
  {
    what: 'peak speed about the swing plane, %',
    read: worst(ALL, 'swing_plane', speed),
    clean: 0.6,
    noisy: 3,
    noisy500: 2.2,
  },
  {
    what: 'time of the peak by magnitude, median, ms',
    read: worst(ALL, 'magnitude', time),
    clean: 0.05,
    noisy: 15,
    noisy500: 9,
  },
  {
    what: 'time of the peak about the swing plane, median, ms',
    read: worst(ALL, 'swing_plane', time),
    clean: 0.3,
    noisy: 15,
    noisy500: 11,
  },
];
