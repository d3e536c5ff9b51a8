import { describe, expect, it } from 'vitest';
import { assignPlaces, sensorPlaceOf } from '../../../../src/intake/sensors/columns/assignPlaces.ts';
import { placeOfName } from '../../../../src/intake/sensors/placeNames.ts';

/** Anatomical words and words of the trade: common practice, no source. */
describe('the place in a sensor’s name', () => {
  it.each([
    ['pelvis', 'pelvis'],
    ['sacrum', 'pelvis'],
    ['S01_pelvis', 'pelvis'],
    ['Sternum', 'thorax'],
    ['upper_back', 'thorax'],
    ['T8', 'thorax'],
    ['Forehead', 'head'],
    ['left_forearm', 'left_forearm'],
    ['LeftForearm', 'left_forearm'],
    ['wrist-left', 'left_forearm'],
    ['forearm_right', 'right_forearm'],
    ['hand_left', 'left_hand'],
    ['rhand', 'right_hand'],
    ['rightUpperArm', 'right_upper_arm'],
    ['Right Lower Leg', 'right_shank'],
    ['l_foot', 'left_foot'],
    ['shaft', 'club'],
    ['club_head', 'club'],
    ['lead_forearm', 'lead_forearm'],
  ])('%s is %s', (name, place) => {
    expect(placeOfName(name).place).toBe(place);
  });

  it.each(['imu1', 'wrist', 'left_pelvis', 'LeftShoulder', 'left_right_hand'])('%s is none', (name) => {
    expect(placeOfName(name).place).toBeNull();
  });
});

describe('places of a recording', () => {
  it('are the day file’s first, whatever the names say', () => {
    const { places } = assignPlaces(['pelvis', 'A7'], { pelvis: 'a-7' });
    expect(places.map((one) => one.place)).toEqual([null, 'pelvis']);
  });

  it('leave out two sensors that could be one place, and ask', () => {
    const { places, diagnostics } = assignPlaces(['hip', 'lower_back', 'upper_back'], {});
    expect(places.map((one) => one.place)).toEqual([null, null, 'thorax']);
    expect(diagnostics.find((one) => one.code === 'place-ambiguous')?.message).toBe(
      '"hip" and "lower_back" could each be pelvis; name the right one under sensors: places: pelvis; all were left out',
    );
  });

  it('prefer the place’s own word to a neighbour', () => {
    expect(assignPlaces(['lower_back', 'sacrum'], {}).places.map((one) => one.place)).toEqual([null, 'pelvis']);
    expect(assignPlaces(['lower_back'], {}).places[0]!.place).toBe('pelvis');
  });

  it('say which named sensor is not there, and what it may have been meant to be', () => {
    const { diagnostics } = assignPlaces(['sacrum'], { pelvis: 'sacrm' });
    expect(diagnostics[0]).toMatchObject({ code: 'named-sensor-missing' });
    expect(diagnostics[0]!.message).toContain('did you mean "sacrum"?');
  });

  it('do not miss a sensor that the trial does without', () => {
    const { diagnostics } = assignPlaces(['sacrum'], { pelvis: 'sacrum', club: 'shaft' }, (place) => place !== 'club');
    expect(diagnostics).toEqual([]);
  });

  it('ask for the side that a name does not say', () => {
    const { diagnostics } = assignPlaces(['wrist'], {});
    expect(diagnostics[0]!.message).toBe('"wrist": the side of the forearm is not said; left out');
  });

  it('become lead and trail by the hand', () => {
    expect(sensorPlaceOf('left_forearm', 'right')).toBe('lead_forearm');
    expect(sensorPlaceOf('left_forearm', 'left')).toBe('trail_forearm');
    expect(sensorPlaceOf('right_hand', 'left')).toBe('lead_hand');
    expect(sensorPlaceOf('lead_forearm', 'left')).toBe('lead_forearm');
    expect(sensorPlaceOf('club', 'left')).toBe('club');
  });
});
