/** The ways in which a recording shows the moment of impact, one by one. */
import type { SwingOptions } from '../../samples/generator/makeSwing.ts';

export interface ImpactSource {
  readonly name: string;
  readonly options: Partial<SwingOptions>;
  readonly method: 'ball-contact' | 'velocity-step' | 'address-place';
  /** RMS limits of definitions 9 in ms, without noise and with 1 mm; null where there is none. */
  readonly clean: number | null;
  readonly noisy: number | null;
}

export const IMPACT_SOURCES: readonly ImpactSource[] = [
  { name: 'ball marker', options: {}, method: 'ball-contact', clean: 0.02, noisy: 0.1 },
  {
    name: 'ball marker and an event rounded to a frame',
    options: { event: 'Impact' },
    method: 'ball-contact',
    clean: 0.02,
    noisy: 0.1,
  },
  {
    name: 'no ball: head slowed over 0.4 ms',
    options: { ball: false, slowing_s: 0.0004 },
    method: 'velocity-step',
    clean: 0.02,
    noisy: 0.1,
  },
  {
    name: 'no ball: head slowed over 0.6 ms',
    options: { ball: false, slowing_s: 0.0006 },
    method: 'velocity-step',
    clean: null,
    noisy: null,
  },
  {
    name: 'no ball, no change of velocity: event rounded to a frame',
    options: { ball: false, loss: 0, event: 'Impact' },
    method: 'address-place',
    clean: null,
    noisy: null,
  },
  {
    name: 'no ball, no change of velocity: address place',
    options: { ball: false, loss: 0 },
    method: 'address-place',
    clean: null,
    noisy: null,
  },
];
