import type { RepeatabilityRow } from '../model/repeatability.ts';
import { TABLE_DECIMALS } from '../model/units.ts';
import { type Column, numberColumn, type Table, textColumn } from './csv.ts';

function inUnit(
  name: string,
  meaning: string,
  read: (row: RepeatabilityRow) => number | null,
): Column<RepeatabilityRow> {
  return numberColumn(name, 'by row', meaning, read, ({ unit }) => TABLE_DECIMALS[unit]);
}

function share(name: string, meaning: string, read: (row: RepeatabilityRow) => number): Column<RepeatabilityRow> {
  return numberColumn(name, '', meaning, read, 4);
}

export const REPEATABILITY: Table<RepeatabilityRow> = {
  name: 'repeatability',
  about:
    'One quantity at one position over the first iron swings of each player of the day; written where three players or more have two.',
  columns: [
    textColumn('quantity', 'name of the quantity (docs/quantities.md)', ({ quantity }) => quantity),
    textColumn('position', 'position of the swing, or swing for one value per swing', ({ position }) => position),
    textColumn('unit', 'unit of the values', ({ unit }) => unit),
    textColumn('order', 'axis order of an angle', ({ order }) => order),
    numberColumn('players', '', 'players with two such swings or more', ({ players }) => players, 0),
    numberColumn(
      'swings',
      'swings',
      'swings of each: as many as the player with the fewest has',
      ({ swings }) => swings,
      0,
    ),
    share('icc_1', 'intraclass correlation of one swing, case 1 (one-way)', ({ single }) => single[0]),
    share('icc_2', 'the same, case 2 (agreement)', ({ single }) => single[1]),
    share('icc_3', 'the same, case 3 (consistency)', ({ single }) => single[2]),
    share('icc_low95', 'lower end of the 95 % interval of icc_3', ({ low95 }) => low95),
    share('icc_high95', 'its upper end', ({ high95 }) => high95),
    share('icc_1_mean', 'intraclass correlation of the mean of the swings, case 1', ({ mean }) => mean[0]),
    share('icc_2_mean', 'the same, case 2', ({ mean }) => mean[1]),
    share('icc_3_mean', 'the same, case 3', ({ mean }) => mean[2]),
    numberColumn(
      'p_place',
      '',
      'swings that differ by their place in the order, Greenhouse–Geisser',
      ({ pPlace }) => pPlace,
      5,
    ),
    numberColumn(
      'swings_for_90',
      'swings',
      'swings whose mean would reach 0.90 by icc_3 (Spearman–Brown); empty where one swing tells nothing',
      ({ swingsFor90 }) => swingsFor90,
      0,
    ),
    inUnit('sem', 'error of measurement of one swing: scatter left beside players and places', ({ sem }) => sem),
    inUnit('mdc', 'difference of two swings that exceeds it once in twenty (1.96·√2 × sem)', ({ mdc }) => mdc),
    inUnit('mdc_mean', 'the same of two means of so many swings', ({ mdcOfMean }) => mdcOfMean),
    inUnit('shift', 'last less first swing, mean over the players', ({ shift }) => shift),
    inUnit('shift_low95', 'lower end of its 95 % interval', ({ shiftLow95 }) => shiftLow95),
    inUnit('shift_high95', 'its upper end', ({ shiftHigh95 }) => shiftHigh95),
    inUnit(
      'limit_low',
      'lower limit of agreement of last and first swing (mean − 1.96 SD)',
      ({ limitLow }) => limitLow,
    ),
    inUnit('limit_high', 'upper limit of agreement', ({ limitHigh }) => limitHigh),
    inUnit('repeatability', 'twice the root mean square of last less first', ({ repeatability }) => repeatability),
    inUnit('typical_error', 'SD of last less first over √2', ({ typicalError }) => typicalError),
  ],
};
