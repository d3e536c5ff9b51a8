import type { TrialPlan } from '../../src/model/dayPlan.ts';
import { trialPlan } from './plans.ts';

export const REAL_SWING = 'c3d/swings/golf-200hz-mirrored-lab.c3d';

/** Names by index for the real swing of the open data (its labels are bare numbers): joint centres, club and ball. */
export const REAL_SWING_MARKERS: Readonly<Record<string, string>> = {
  R_TOE: '#1',
  R_HEEL: '#2',
  R_AJC: '#3',
  R_KJC: '#4',
  R_HJC: '#5',
  L_TOE: '#6',
  L_HEEL: '#7',
  L_AJC: '#8',
  L_KJC: '#9',
  L_HJC: '#10',
  R_SJC: '#11',
  R_EJC: '#12',
  R_HAND: '#13',
  L_SJC: '#14',
  L_EJC: '#15',
  L_HAND: '#16',
  HEAD: '#17',
  CLUB_GRIP: '#18',
  CLUB_SHAFT: '#19',
  CLUB_HEAD_1: '#20',
  BALL: '#21',
};

export function realSwingPlan(changes: Partial<TrialPlan> = {}): TrialPlan {
  return trialPlan({
    id: 'swing',
    file: 'swing.c3d',
    markers: REAL_SWING_MARKERS,
    trustCoordinates: true,
    up: '+Z',
    target: '+Y',
    ...changes,
  });
}
