import { describe, expect, it } from 'vitest';
import type { ImuRecording } from '../../../../src/imu/types.ts';
import { intakeSensors } from '../../../../src/intake/sensors/intakeSensors.ts';
import type { TrialPlan } from '../../../../src/model/dayPlan.ts';
import { bidsRecording, bidsSensor, makeSensor } from '../../../support/madeSensors.ts';
import { clubPlan, playerPlan, trialPlan } from '../../../support/plans.ts';

/** Channel types and components: BIDS specification, modality motion (check row G09). */
const pelvis = makeSensor({ noise: 0.002 });
const chest = makeSensor({ number: 1, noise: 0.002 });
const FILE = 'sub-01/motion/sub-01_task-swing_tracksys-imu_motion.tsv';

function take(file: ImuRecording, changes: Partial<TrialPlan> = {}) {
  const { value, diagnostics } = intakeSensors(file, {
    trial: trialPlan({ file: FILE, ...changes }),
    player: playerPlan(),
    club: clubPlan(),
  });
  return {
    trial: value.ok ? value.value : null,
    refusal: value.ok ? '' : `${value.why.code}: ${value.why.needed}`,
    codes: diagnostics.map((one) => one.code),
    message: (code: string) => diagnostics.find((one) => one.code === code)?.message ?? '',
  };
}

type Row = Parameters<typeof bidsRecording>[0][number];

const places = (scale: number, units: string): Row[] =>
  (
    [
      ['pelvis', [0, 0, 1]],
      ['chest', [0.1, 0, 1.4]],
      ['foot', [0, 0.2, 0.1]],
    ] as const
  ).flatMap(([trackedPoint, at]) =>
    (['x', 'y', 'z'] as const).map(
      (component, i): Row => [
        { name: `${trackedPoint}_pos_${component}`, component, type: 'POS', trackedPoint, units },
        pelvis.time.map(() => scale * at[i]!),
      ],
    ),
  );

const quaternion = (point: string, referenceFrame = ''): Row[] =>
  (['quat_w', 'quat_x', 'quat_y', 'quat_z'] as const).map((component, i) => [
    { name: `${point}_${component}`, component, type: 'ORNT', trackedPoint: point, units: 'n/a', referenceFrame },
    pelvis.quaternion[i]!,
  ]);

describe('a Motion-BIDS recording', () => {
  it('is sensors by tracked point, at the stated rate where there is no LATENCY', () => {
    const { trial, codes } = take(bidsRecording([...bidsSensor('pelvis', pelvis), ...bidsSensor('chest', chest)]));
    expect([...trial!.sensors.keys()]).toEqual(['pelvis', 'thorax']);
    expect(trial!.sensors.get('thorax')!.gyro![7]).toBe(chest.gyro[0]![7]);
    expect(trial!.sensors.get('pelvis')!.times_s[200]).toBeCloseTo(1, 12);
    expect(codes).toContain('no-stamps');
  });

  it('takes its times from LATENCY, and refuses a SamplingFrequency that contradicts it with both', () => {
    const latency: Row = [{ name: 'latency', type: 'LATENCY', units: 's' }, pelvis.time];
    const { trial } = take(bidsRecording([latency, ...bidsSensor('pelvis', pelvis)]));
    expect(trial!.head.facts.rate_Hz.value).toBeCloseTo(200, 6);
    const wrong = take(bidsRecording([latency, ...bidsSensor('pelvis', pelvis)], { samplingFrequency_Hz: 100 }));
    expect(wrong.refusal).toMatch(
      /^conflict-rate: one rate: the side-car says 100\.00 Hz, the time stamps .* show 200\.00 Hz/,
    );
  });

  it('has orientations by its ORNT quaternions and the up axis by its reference frame', () => {
    const frames = [{ name: 'global', spatialAxes: 'ALS', rotationOrder: '', rotationRule: '' }];
    const rows: Row[] = [...quaternion('pelvis', 'global')];
    const { trial } = take(bidsRecording(rows, { frames }));
    expect(trial!.head.facts.up).toMatchObject({ value: '+Z', source: 'detected' });
    expect(trial!.head.facts.up.evidence).toBe("the reference frame's axes are ALS");
    expect(trial!.sensors.get('pelvis')!.orientation.ok).toBe(true);
  });

  it('whose gyro columns equal its accelerometer columns is refused with that reason', () => {
    const copied = { ...pelvis, gyro: pelvis.acc };
    expect(take(bidsRecording(bidsSensor('pelvis', copied))).refusal).toMatch(
      /^gyro-copies-accelerometer: a gyro of its own: 3 of 3 gyro columns of pelvis in .*_motion\.tsv copy its accelerometer \(pelvis_gyro_x is 1\.0000 times pelvis_acc_x in every row\)/,
    );
  });

  it('with places in mm that are declared m is refused by the size of the body', () => {
    const { refusal } = take(bidsRecording([...bidsSensor('pelvis', pelvis), ...places(1000, 'm')]));
    expect(refusal).toMatch(
      /^conflict-units: lengths of a body: .*_motion\.tsv: the POS channels declare m, but the 3 tracked places span 1319\.1 m; a body spans 0\.2 to 10 m, and mm would fit; correct units in channels\.tsv/,
    );
    expect(take(bidsRecording([...bidsSensor('pelvis', pelvis), ...places(1, 'mm')])).refusal).toContain(
      'and m would fit',
    );
    const held = take(bidsRecording([...bidsSensor('pelvis', pelvis), ...places(1000, 'm')]), { insist: ['units'] });
    expect(held.refusal).toBe('');
  });

  it('with honest places is read, and says that they are not used as markers', () => {
    const taken = take(bidsRecording([...bidsSensor('pelvis', pelvis), ...places(1000, 'mm')]));
    expect(taken.refusal).toBe('');
    expect(taken.message('positions-not-used')).toContain('9 channels of type POS');
  });

  it('leaves out channels that are marked bad, and orientations that are three angles', () => {
    const angles: Row[] = (['x', 'y', 'z'] as const).map((component) => [
      { name: `pelvis_${component}`, component, type: 'ORNT', trackedPoint: 'pelvis', units: 'deg' },
      pelvis.time.map((t) => t),
    ]);
    const bad = bidsSensor('chest', chest).map(([one, values]): Row => [{ ...one, status: 'bad' }, values]);
    const { trial, codes } = take(bidsRecording([...bidsSensor('pelvis', pelvis), ...angles, ...bad]));
    expect([...trial!.sensors.keys()]).toEqual(['pelvis']);
    expect(codes).toContain('channel-bad');
    expect(codes).toContain('rotation-angles-not-used');
  });

  it('with two channels of one axis is refused with both names', () => {
    const twice: Row[] = [
      [{ name: 'again', component: 'x', type: 'GYRO', trackedPoint: 'pelvis', units: 'rad/s' }, pelvis.gyro[0]!],
    ];
    expect(take(bidsRecording([...bidsSensor('pelvis', pelvis), ...twice])).refusal).toMatch(
      /^columns-ambiguous: one channel for x of the gyro of pelvis: "pelvis_gyro_x" and "again"/,
    );
  });

  it('has its events under their positions', () => {
    const events = [
      { onset_s: 2.5, duration_s: 0, label: 'Impact' },
      { onset_s: 1.1, duration_s: 0, label: 'cough' },
    ];
    expect(take(bidsRecording(bidsSensor('pelvis', pelvis), { events })).trial!.events).toEqual([
      { label: 'cough', position: null, time_s: 1.1 },
      { label: 'Impact', position: 'P7', time_s: 2.5 },
    ]);
  });
});
