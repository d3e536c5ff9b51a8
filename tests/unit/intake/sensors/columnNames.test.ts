import { describe, expect, it } from 'vitest';
import { meaningOfColumn } from '../../../../src/intake/sensors/columns/columnNames.ts';

/** Spellings of column names: common practice, no source. */
describe('the name of a column', () => {
  it.each([
    ['gyr_x', 'gyro', 'x', '', ''],
    ['GyroX', 'gyro', 'x', '', ''],
    ['wx', 'gyro', 'x', '', ''],
    ['w_x', 'gyro', 'x', '', ''],
    ['omega_z', 'gyro', 'z', '', ''],
    ['AngVelX', 'gyro', 'x', '', ''],
    ['angular_velocity.y', 'gyro', 'y', '', ''],
    ['Gyroscope X (°/s)', 'gyro', 'x', '°/s', ''],
    ['gyro_x_rad_s', 'gyro', 'x', 'rad s', ''],
    ['ax', 'acc', 'x', '', ''],
    ['acc_z_g', 'acc', 'z', 'g', ''],
    ['linear_acceleration.y', 'acc', 'y', '', ''],
    ['MagY', 'mag', 'y', '', ''],
    ['q_w', 'quaternion', 'w', '', ''],
    ['qz', 'quaternion', 'z', '', ''],
    ['Quat_X', 'quaternion', 'x', '', ''],
    ['orientation.w', 'quaternion', 'w', '', ''],
    ['pelvis_gyro_x', 'gyro', 'x', '', 'pelvis'],
    ['gyro_x_pelvis', 'gyro', 'x', '', 'pelvis'],
    ['wrist_left_acc_x', 'acc', 'x', '', 'wrist_left'],
    ['LForearm_GyroX', 'gyro', 'x', '', 'l_forearm'],
    ['imu1_q_w', 'quaternion', 'w', '', 'imu1'],
    ['gyro_x_1', 'gyro', 'x', '', '1'],
  ])('%s is %s %s', (name, signal, axis, unit, sensor) => {
    expect(meaningOfColumn(name)).toMatchObject({ signal, axis, unit, sensor });
  });

  it.each([
    ['t_s', 's'],
    ['Timestamp (ms)', 'ms'],
    ['time_us', 'us'],
    ['time', ''],
  ])('%s is the time, in "%s"', (name, unit) => {
    expect(meaningOfColumn(name)).toMatchObject({ signal: 'time', unit, sensor: '' });
  });

  it('of numbered quaternion columns says whether they begin with 0, which means w first', () => {
    expect([0, 1, 2, 3].map((k) => meaningOfColumn(`q${k}`)?.axis)).toEqual(['w', 'x', 'y', 'z']);
    expect(meaningOfColumn('q0')?.axisForm).toBe('from0');
    expect(meaningOfColumn('q4')?.axisForm).toBe('from1');
  });

  it.each([
    'ref_qw',
    'moving',
    'FreeAcc_X',
    'temperature',
    'packet',
    'angular_acceleration_x',
    'delta_q_w',
    'gyro_bias_x',
  ])('%s is no signal that is read', (name) => {
    expect(meaningOfColumn(name)).toBeNull();
  });
});
