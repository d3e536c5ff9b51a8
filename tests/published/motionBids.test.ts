/**
 * Row G09 and cases 44 and 45: the form of Motion-BIDS. Source: Brain Imaging Data Structure specification, "Motion"
 * (modality-specific files, motion.md, and its schema): a motion.tsv without a header row, channels.tsv with the required columns
 * name, component, type, tracked_point, units in this order, types in capitals, components x, y, z, quat_x, quat_y, quat_z, quat_w, n/a.
 */
import { describe, expect, it } from 'vitest';
import { FormatError } from '../../src/base/errors.ts';
import { readImu } from '../../src/imu/readImu.ts';
import type { NamedBytes } from '../../src/imu/types.ts';
import { named } from '../support/imuFiles.ts';

const TYPES = ['ACCEL', 'ANGACCEL', 'GYRO', 'JNTANG', 'LATENCY', 'MAGN', 'MISC', 'ORNT', 'POS', 'VEL'];
const COMPONENTS = ['x', 'y', 'z', 'quat_x', 'quat_y', 'quat_z', 'quat_w', 'n/a'];

function recording(rows: readonly string[], motion: string): NamedBytes[] {
  const folder = 'sub-01/ses-01/motion/';
  const stem = 'sub-01_ses-01_task-swing_tracksys-imu';
  return [
    named(`${folder}${stem}_motion.tsv`, motion),
    named(`${folder}${stem}_channels.tsv`, ['name\tcomponent\ttype\ttracked_point\tunits', ...rows, ''].join('\n')),
    named(`${folder}${stem}_motion.json`, '{"SamplingFrequency": 100, "TaskName": "swing"}'),
  ];
}

const QUATERNION = ['quat_w', 'quat_x', 'quat_y', 'quat_z'].map((c) => `head_${c}\t${c}\tORNT\thead\tn/a`);
const ROWS = '1\t0\t0\t0\n0.5\t0.5\t0.5\t0.5\n';

describe('G09: the form of Motion-BIDS', () => {
  it('a file without a header: the first row is data, columns are named by channels.tsv in its order', () => {
    const one = readImu(recording(QUATERNION, ROWS));
    expect(one.tables[0]).toMatchObject({
      rows: 2,
      columns: ['head_quat_w', 'head_quat_x', 'head_quat_y', 'head_quat_z'],
    });
    expect([...one.tables[0]!.values]).toEqual([1, 0.5, 0, 0.5, 0, 0.5, 0, 0.5]);
    expect(one.bids!.channels[0]).toMatchObject({ component: 'quat_w', type: 'ORNT', trackedPoint: 'head', units: '' });
    expect(one.diagnostics).toEqual([]);
  });

  it.each(TYPES)('type %s is known, in lower case it is read with a warning', (type) => {
    const unit = type === 'LATENCY' ? 's' : type === 'JNTANG' ? 'deg' : 'm';
    const one = readImu(recording([`a\tx\t${type}\thead\t${unit}`], '1\n2\n'));
    expect(one.diagnostics).toEqual([]);
    const lower = readImu(recording([`a\tx\t${type.toLowerCase()}\thead\t${unit}`], '1\n2\n'));
    expect(lower.bids!.channels[0]!.type).toBe(type);
    expect(lower.diagnostics.map(({ code }) => code)).toEqual(['bids-type-written-differently']);
  });

  it.each(COMPONENTS)('component %s is known', (component) => {
    const one = readImu(recording([`a\t${component}\tORNT\thead\tn/a`], '1\n2\n'));
    expect(one.bids!.channels[0]!.component).toBe(component === 'n/a' ? '' : component);
    expect(one.diagnostics).toEqual([]);
  });

  it.each(['name', 'component', 'type', 'tracked_point', 'units'])('a channels.tsv without %s is refused', (column) => {
    const files = recording(QUATERNION, ROWS);
    const text = new TextDecoder()
      .decode(files[1]!.bytes)
      .replace(new RegExp(`(^|\\t)${column}(\\t|\\n)`), '$1other$2');
    files[1] = named(files[1]!.path, text);
    expect(() => readImu(files)).toThrow(
      `there is no column ${column}; expected columns name, component, type, tracked_point, units`,
    );
  });
});

describe('case 44: a header row', () => {
  it('equal to the channel names is passed over', () => {
    const header = 'head_quat_w\thead_quat_x\thead_quat_y\thead_quat_z\n';
    const one = readImu(recording(QUATERNION, header + ROWS));
    expect([...one.tables[0]!.values]).toEqual([1, 0.5, 0, 0.5, 0, 0.5, 0, 0.5]);
    expect(one.diagnostics.map(({ code, severity }) => [code, severity])).toEqual([['bids-header-row', 'info']]);
  });
});

describe('case 45: no channels.tsv', () => {
  it('is refused: the columns have no names', () => {
    const files = recording(QUATERNION, ROWS).filter(({ path }) => !path.includes('channels'));
    expect(() => readImu(files)).toThrow(FormatError);
    expect(() => readImu(files)).toThrow('the columns have no names');
  });
});
