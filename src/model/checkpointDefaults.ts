/**
 * The checkpoints that ship: common practice, no source. Every number is a setting, to be copied from docs/checkpoints.md into a
 * file of one's own and changed; none is a norm.
 */
import type { Checkpoint, CheckpointBand, CheckpointReading } from './checkpoint.ts';
import type { ClubKind } from './dayPlan.ts';

const SOURCE = 'common practice, no source';
const DRIVER: readonly ClubKind[] = ['driver'];

function band(
  low: number | null,
  high: number | null,
  severe: readonly [number, number] | null = null,
): CheckpointBand {
  return { kind: 'band', low, high, severeLow: severe?.[0] ?? null, severeHigh: severe?.[1] ?? null };
}

const at = (position: 'swing' | 'P1' | 'P4' | 'P7'): CheckpointReading => ({ kind: 'value', position });

const change = (from: 'P1' | 'P4', to: 'P4' | 'P5.5' | 'P7', withoutTurn = false): CheckpointReading => ({
  kind: 'change',
  from,
  to,
  withoutTurn,
});

function rule(
  name: string,
  quantity: string,
  reading: CheckpointReading,
  how: Checkpoint['rule'],
  note: string,
  clubs: readonly ClubKind[] | null = null,
): Checkpoint {
  return { name, quantity, reading, rule: how, clubs, note, source: SOURCE };
}

export const DEFAULT_CHECKPOINTS: readonly Checkpoint[] = [
  rule('Attack angle from a tee', 'club.attack', at('swing'), band(-2, 3, [-5, 5]), 'With the ball on a tee.', DRIVER),
  rule(
    'Shoulder line at address',
    'shoulder_line.tilt',
    at('P1'),
    band(4, 15),
    'The lead shoulder higher than the trail shoulder.',
    DRIVER,
  ),
  rule('Axis tilt at address', 'axis_tilt', at('P1'), band(2, 10), 'The trunk leans away from the target.', DRIVER),
  rule(
    'Pelvis extends in the backswing',
    'pelvis.forward_bend',
    change('P1', 'P4'),
    band(null, 0),
    'Forward bend becomes less from P1 to P4.',
  ),
  rule(
    'Chest extends in the backswing',
    'thorax.forward_bend',
    change('P1', 'P4'),
    band(null, 0),
    'Turning alone takes forward bend away: read it with the turn.',
  ),
  rule(
    'Forward bend regained by P5.5',
    'thorax.forward_bend',
    change('P1', 'P5.5'),
    band(-15, null),
    'The chest is back over the ball, but for what its turn takes away.',
  ),
  rule(
    'Forward bend regained as in the reference swings',
    'thorax.forward_bend',
    change('P1', 'P5.5'),
    { kind: 'reference' },
    'The change since address does not depart from that of the swings compared with.',
  ),
  rule(
    'Extension begins about P6',
    'thorax.forward_bend',
    { kind: 'begins', way: 'falls', from: 'P4', to: 'P8' },
    band(5.5, 6.5),
    'Where the chest’s forward bend is largest after the top.',
    DRIVER,
  ),
  rule('Head steady in the backswing', 'head.to_target', at('P4'), band(-60, 30), 'Shift since address.'),
  rule('Head steady at impact', 'head.to_target', at('P7'), band(-60, 30), 'Shift since address.'),
  rule(
    'Head tilt backwards not growing',
    'head.side_bend',
    change('P4', 'P7', true),
    band(null, 2),
    'Side bend away from the target from the top to impact; turning a head that leans over the ball tilts it as well, which is taken off.',
  ),
  rule(
    'Lead knee flexes in the backswing',
    'lead_knee.flexion',
    change('P1', 'P4'),
    band(2, null),
    'The lead knee bends more from P1 to P4.',
  ),
  rule('Lead shoulder low at the top', 'lead_shoulder.rise', at('P4'), band(-160, -40), 'Height since address.'),
  rule('Lead shoulder high at impact', 'lead_shoulder.rise', at('P7'), band(0, null), 'Height since address.'),
];
