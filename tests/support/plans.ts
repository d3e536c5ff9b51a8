import {
  type ClubPlan,
  DEFAULT_FAULTS,
  DEFAULT_FILTER,
  DEFAULT_GAPS,
  type PlayerPlan,
  type TrialPlan,
} from '../../src/model/dayPlan.ts';
import { DEFAULT_SENSOR_PLAN } from '../../src/model/sensors.ts';

export function trialPlan(changes: Partial<TrialPlan> = {}): TrialPlan {
  return {
    id: 'wren-01',
    file: 'wren-01.c3d',
    files: ['wren-01.c3d'],
    source: null,
    player: 'wren',
    club: 'driver',
    set: 'day',
    role: 'swing',
    use: true,
    note: '',
    order: 0,
    up: null,
    target: null,
    units: null,
    rate_Hz: null,
    hand: null,
    insist: [],
    trustCoordinates: false,
    markers: {},
    events: {},
    filter: DEFAULT_FILTER,
    gaps: DEFAULT_GAPS,
    faults: DEFAULT_FAULTS,
    sensors: DEFAULT_SENSOR_PLAN,
    movement: null,
    still: null,
    ...changes,
  };
}

export function playerPlan(changes: Partial<PlayerPlan> = {}): PlayerPlan {
  return {
    id: 'wren',
    hand: 'right',
    sex: null,
    mass_kg: null,
    height_m: null,
    static: null,
    still: null,
    note: '',
    ...changes,
  };
}

export function clubPlan(changes: Partial<ClubPlan> = {}): ClubPlan {
  return {
    id: 'driver',
    kind: 'driver',
    length_m: 1.14,
    loft_deg: null,
    lie_deg: null,
    markers: {},
    headPoint: null,
    faceCentre_mm: null,
    faceNormal: null,
    sensorShaft: null,
    ...changes,
  };
}
