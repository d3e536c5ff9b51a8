import type { MomentMethod } from '../../model/positions.ts';

/** What each way of finding a position goes by, in words that follow "found by". */
export const METHOD_WORDS: Readonly<Record<MomentMethod, string>> = {
  stillness: 'stillness',
  slowest: 'the slowest stretch: the player was not still',
  'shaft-horizontal': 'the shaft crossing the horizontal',
  'lead-arm-horizontal': 'the lead arm crossing the horizontal',
  'trail-arm-horizontal': 'the trail arm crossing the horizontal',
  'shaft-reversal': 'the shaft turning back',
  'shaft-pause': 'the end of the shaft’s pause',
  'lead-arm-reversal': 'the lead arm turning back',
  'lead-forearm-horizontal': 'the lead forearm crossing the horizontal',
  'trail-forearm-horizontal': 'the trail forearm crossing the horizontal',
  'lead-forearm-reversal': 'the lead forearm turning back',
  shock: 'the shock that an accelerometer felt',
  'shaft-rotation-share': 'the share of the shaft’s rotation between two positions',
  'ball-contact': 'the face reaching the still ball',
  'velocity-step': 'the meeting of the fits before and after the step in head velocity',
  'address-place': 'the head passing its place at address',
  event: 'an event stored in the file',
  trigger: 'the trigger',
  sound: 'the sound',
};
