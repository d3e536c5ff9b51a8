import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { TABLES, type TableSources } from '../../../src/tables/allTables.ts';
import { csvRows, csvText, textColumn } from '../../../src/tables/csv.ts';
import { jsonText, storedRecordText } from '../../../src/tables/storedRecord.ts';
import { fixtureCheckpoints } from '../../support/checkpointFixture.ts';
import { comparisonOf, headOf, outcomeOf, ROW, recordOf, seriesOf } from './fixture.ts';

function textOf(name: string, sources: Partial<TableSources>): string {
  const table = TABLES.find((one) => one.name === name)!;
  const all = { records: [], comparisons: [], outcomes: [], repeatability: [], seriesOf, ...sources };
  return table.write(all, (one, rows) => [...csvText(one, rows())].join(''));
}

describe('headers are a contract: a new column goes to the end', () => {
  const headers: Readonly<Record<string, string>> = {
    angles:
      'player,club,kind,set,trial,quantity,position,value,unit,order,plus_minus,flags,plus_minus_noise,plus_minus_placement',
    positions: 'player,club,kind,set,trial,position,time_s,plus_minus_s,frame,method,confidence,reason',
    comparison:
      'player,group,reference,quantity,position,unit,order,n_group,n_reference,mean_group,mean_reference,sd_group,sd_reference,difference,low95,high95,hedges_g,margin,margin_rule,mdc,detectable,p,p_beyond,p_within,p_adjusted,p_beyond_adjusted,family,basis,verdict,more_swings,reason,p_permutation,datum,bca_low95,bca_high95,g_low95,g_high95,typical_error,trend,trend_low95,trend_high95,trend_per_10cm,trend_verdict,trend_reason',
    quality:
      'player,trial,marker,frames,missing,filled,longest_gap_s,noise_mm,flags,filled_rigid,filled_spline,filled_components',
    trials:
      'trial,file,sha256,player,club,kind,set,role,status,reason,source,datum,frames,rate_Hz,units,up,target,mirrored,hand,form,gate,gate_reasons,gate_set_by,outlying,outlying_distance',
    curves: 'player,club,kind,set,trial,quantity,step,position,time_s,value,unit,order,flags',
    curves_time: 'player,club,kind,set,trial,quantity,frame,time_s,value,unit,order,flags',
    checkpoints:
      'player,group,reference,checkpoint,quantity,reading,from,position,unit,rule,low,high,severe_low,severe_high,state,severe,value,sd,low95,high95,n,swings_met,within_scatter,value_reference,n_reference,turn,turn_from,turn_reference,turn_alone,note,source,remarks,reason,datum',
    repeatability:
      'quantity,position,unit,order,players,swings,icc_1,icc_2,icc_3,icc_low95,icc_high95,icc_1_mean,icc_2_mean,icc_3_mean,p_place,swings_for_90,sem,mdc,mdc_mean,shift,shift_low95,shift_high95,limit_low,limit_high,repeatability,typical_error',
    faults: 'player,trial,code,markers,first_frame,last_frame,first_s,last_s,action,detail',
    orders: 'player,club,kind,set,trial,segment,position,order,first,second,third,singular_distance,flags',
    order_verdicts:
      'player,group,reference,segment,position,basis,order,component,axis,n_group,n_reference,mean_group,mean_reference,difference,low95,high95,margin,verdict,main_order,in_place_of,main_verdict,changes,near_singular,reason',
  };
  it.each(Object.entries(headers))('%s', (name, header) => {
    expect(textOf(name, {})).toBe(`${header}\r\n`);
  });
  it('no other table is written; curves wait to be asked for, repeatability for three players', () => {
    expect(TABLES.map((table) => table.name)).toEqual(Object.keys(headers));
    expect(TABLES.filter((table) => table.onRequest).map((table) => table.name)).toEqual([
      'curves',
      'curves_time',
      'repeatability',
      'orders',
      'order_verdicts',
    ]);
  });
  it('every column says what it means', () => {
    for (const column of TABLES.flatMap((table) => table.columns)) expect(column.meaning).not.toBe('');
  });
});

describe('angles', () => {
  const lines = textOf('angles', { records: [recordOf('b'), recordOf('a')] }).split('\r\n');
  it('come by trial id in fixed decimals of the display unit', () => {
    expect(lines[1]).toBe(`auk,dr,driver,"'=first, ""one""",a,pelvis.turn,P4,-45.000,deg,YXZ,0.057,a;b,0.057,`);
    expect(lines[4]).toContain(',b,pelvis.turn,');
  });
  it('carry both parts of the ±, and both together by the sum of squares', () => {
    const record = recordOf('a');
    const cells = record.cells.map((cell) => ({
      ...cell,
      plusMinus: (3 * Math.PI) / 180,
      placement: (4 * Math.PI) / 180,
    }));
    const text = textOf('angles', { records: [{ ...record, cells }] });
    expect(text.split('\r\n')[1]).toMatch(/,YXZ,5\.000,a;b,3\.000,4\.000$/);
  });
  it('never show -0', () => {
    expect(lines[2]).toContain(',pelvis.rise,P4,0.00,mm,,,');
  });
  it('give the reason of a missing value as a flag and leave the value empty', () => {
    expect(lines[3]).toMatch(/,club\.path,swing,,deg,,,target-assumed,,$/);
  });
  it('say a doubt once, where the reason of a missing value is a flag of its quantity too', () => {
    const record = recordOf('a');
    const cells = record.cells.map((cell) => (cell.why === null ? cell : { ...cell, flags: [cell.why.code] }));
    expect(textOf('angles', { records: [{ ...record, cells }] })).toContain(
      ',club.path,swing,,deg,,,target-assumed,,\r\n',
    );
  });
  it('end every line with CRLF, the last one too', () => {
    expect(lines).toHaveLength(8);
    expect(lines[7]).toBe('');
  });
});

describe('curves over time', () => {
  const row = `auk,dr,driver,"'=first, ""one""",a`;
  it('have a row for each frame of each quantity, missing values empty, time from the first frame, -0 never', () => {
    expect(
      textOf('curves_time', { records: [recordOf('a')] })
        .split('\r\n')
        .slice(1),
    ).toEqual([
      `${row},pelvis.turn,0,0.00000,0.000,deg,YXZ,target-assumed;rebuilt`,
      `${row},pelvis.turn,1,0.00417,,deg,YXZ,target-assumed`,
      `${row},pelvis.turn,2,0.00833,-45.000,deg,YXZ,target-assumed;near-singular;filled;rebuilt`,
      `${row},pelvis.rise,0,0.00000,0.00,mm,,`,
      `${row},pelvis.rise,1,0.00417,0.00,mm,,`,
      `${row},pelvis.rise,2,0.00833,12.35,mm,,`,
      '',
    ]);
  });
  it('come by trial id, one swing after the other, and go on without a swing whose frames are not there', () => {
    const asked: string[] = [];
    const some = (trial: string) => {
      asked.push(trial);
      return trial === 'b' ? null : seriesOf(trial);
    };
    const text = textOf('curves_time', { records: [recordOf('c'), recordOf('b'), recordOf('a')], seriesOf: some });
    expect(asked).toEqual(['a', 'b', 'c']);
    const rows = parse(text, { columns: true }) as { trial: string }[];
    expect(rows.map(({ trial }) => trial)).toEqual([...Array(6).fill('a'), ...Array(6).fill('c')]);
  });
});

describe('the other tables', () => {
  it('positions come in the order of time; ± is 1.96 sd; the frame is time × rate', () => {
    const lines = textOf('positions', { records: [recordOf('a')] }).split('\r\n');
    const row = `auk,dr,driver,"'=first, ""one""",a`;
    expect(lines.slice(1, 4)).toEqual([
      `${row},P1,0.50000,0.00196,120.000,stillness,0.90,`,
      `${row},P2,,,,,,two shaft markers`,
      `${row},P7,1.50000,0.00020,360.000,ball-contact,1.00,late; stored event 0.00210 s earlier`,
    ]);
  });
  it('comparison gives "more than 40" for 41 and text that begins with no formula sign', () => {
    const line = textOf('comparison', { comparisons: [comparisonOf('auk', [ROW])] }).split('\r\n')[1];
    expect(line).toBe(
      'auk,driver,irons,pelvis.turn,P4,deg,YXZ,6,7,1.000,2.000,0.500,0.250,-1.000,-2.000,0.000,-1.235,2.000,default,0.550,1.100,0.00000,0.50000,0.04000,0.10000,1.00000,change-screening,change,undecided,more than 40 dr,1 swing lacked the value,0.02000,isb,-1.900,0.000,-2.500,-0.050,0.200,3.500,2.000,5.000,0.500,none,too uncertain to judge',
    );
  });
  it('comparison comes by player', () => {
    const text = textOf('comparison', {
      comparisons: [comparisonOf('b', [ROW]), comparisonOf('B', [ROW]), comparisonOf('a', [ROW])],
    });
    expect(
      text
        .split('\r\n')
        .slice(1, 4)
        .map((line) => line[0]),
    ).toEqual(['B', 'a', 'b']);
  });
  it('comparison tells the parts of a player apart by their datum, in the order of the parts', () => {
    const ofSensors = comparisonOf('auk', [ROW]);
    const part = { ...ofSensors.part, datum: { kind: 'calibration', id: 'calibration auk/still on auk/0' } as const };
    const text = textOf('comparison', {
      comparisons: [comparisonOf('b', [ROW]), comparisonOf('auk', [ROW]), { ...ofSensors, part }],
    });
    const rows = parse(text, { columns: true }) as { player: string; datum: string }[];
    expect(rows.map(({ player, datum }) => `${player} ${datum}`)).toEqual([
      'auk isb',
      'auk calibration auk/still on auk/0',
      'b isb',
    ]);
  });
  it('trials of sensors have a hand, a rate and no axes or unit of length', () => {
    const head = { ...headOf('a'), source: 'sensors' } as const;
    const lines = textOf('trials', { outcomes: [outcomeOf('a', { role: 'functional', head, frames: 240 })] }).split(
      '\r\n',
    );
    expect(lines[1]).toBe(`a,a.c3d,${'cd'.repeat(32)},auk,,,,functional,used,,sensors,,240,240.000,,,,,right,,,,,,`);
  });
  it('checkpoints have the rule, the state and the values in the unit of the quantity, of a beginning as number of a position', () => {
    const checkpoints = fixtureCheckpoints();
    const of = { ...comparisonOf('auk', []), checkpoints };
    const rows = parse(textOf('checkpoints', { comparisons: [of] }), { columns: true }) as Record<string, string>[];
    expect(rows.map((row) => row['checkpoint'])).toEqual(checkpoints.map(({ checkpoint }) => checkpoint.name));
    expect(rows[0]).toMatchObject({
      player: 'auk', quantity: 'club.attack', reading: 'value', from: '', position: 'swing', unit: 'deg', rule: 'band',
      low: '-2.000', high: '3.000', severe_low: '-5.000', severe_high: '5.000', state: 'not-met', severe: 'yes',
      value: '-4.560', sd: '1.250', n: '8', swings_met: '8', within_scatter: 'yes', value_reference: '-3.500',
      source: 'common practice, no source', datum: 'isb',
    }); // biome-ignore format: one row
    expect(rows[3]).toMatchObject({
      reading: 'change', from: 'P1', position: 'P4', low: '', high: '0.000',
      turn: '-88.000', turn_from: '3.000', turn_reference: '-90.000', turn_alone: '-36.500',
    }); // biome-ignore format: one row
    const words = ['rule', 'reading', 'unit', 'value', 'low', 'high'];
    const wordsOf = (reading: string) => words.map((word) => rows.find((row) => row['reading'] === reading)![word]);
    expect(wordsOf('begins-to-fall')).toEqual(['band', 'begins-to-fall', 'position', '6.400', '5.500', '6.500']);
    expect(wordsOf('change-without-turn')[0]).toBe('band');
    expect(rows.find((row) => row['rule'] === 'reference')).toMatchObject({ low: '', high: '', swings_met: '' });
    expect(rows[4]).toMatchObject({ state: 'not-measured', value: '', n: '0' });
    expect(rows[4]!['reason']).toContain('femoral epicondyles');
  });
  it('quality leaves unknown noise empty', () => {
    expect(textOf('quality', { records: [recordOf('a')] }).split('\r\n')[1]).toBe('auk,a,IJ,480,3,2,0.01250,,x;y,,,');
  });
  it('trials hold used, left-out, rejected and failed ones by trial id, with what is known', () => {
    const outcomes = [
      outcomeOf('z', { status: 'failed', reason: '@z.c3d: too short', sha256: '' }),
      outcomeOf('a', {
        record: recordOf('a'),
        club: 'dr',
        kind: 'driver',
        gate: {
          verdict: 'review',
          reasons: [
            {
              rule: 'marker-noise',
              level: 'review',
              found: 4.1,
              limit: { kind: 'most', value: 3 },
              text: 'noise 4.1 mm',
            },
            { rule: 'no-impact', level: 'review', found: null, limit: null, text: 'impact, not found' },
          ],
          setBy: 'rules',
          note: '',
        },
        outlying: {
          group: 'driver',
          swings: 8,
          distance: 5.1234,
          limit: 2.7,
          values: [
            { quantity: 'thorax.side_bend', position: 'P7', unit: 'deg', deviation: 6.1 },
            { quantity: 'pelvis.turn', position: 'P4', unit: 'deg', deviation: -3.25 },
          ],
        },
      }),
      outcomeOf('s', { role: 'static', head: headOf('s'), frames: 240 }),
    ];
    const lines = textOf('trials', { outcomes }).split('\r\n');
    expect(lines[1]).toBe(
      `a,a.c3d,${'cd'.repeat(32)},auk,dr,driver,,swing,used,,markers,isb,480,240.000,mm,'+Y,'-Z,no,right,full,review,"marker-noise: noise 4.1 mm;no-impact: impact, not found",rules,thorax.side_bend@P7 +6.100 deg;pelvis.turn@P4 -3.250 deg,5.12`,
    );
    expect(lines[2]).toBe(
      `s,s.c3d,${'cd'.repeat(32)},auk,,,,static,used,,markers,,240,240.000,mm,'+Y,'-Z,no,right,,,,,,`,
    );
    expect(lines[3]).toBe("z,z.c3d,,auk,,,,swing,failed,'@z.c3d: too short,,,,,,,,,,,,,,,");
  });
  it('curves have 81 steps and name a position at every tenth', () => {
    const lines = textOf('curves', { records: [recordOf('a')] }).split('\r\n');
    expect(lines).toHaveLength(83);
    expect(lines[1]).toMatch(/,pelvis\.turn,0,P1,,0\.000,deg,YXZ,$/);
    expect(lines[12]).toMatch(/,pelvis\.turn,11,,0\.11000,11\.000,deg,YXZ,$/);
    expect(lines[81]).toMatch(/,pelvis\.turn,80,P9,0\.80000,80\.000,deg,YXZ,$/);
  });
  it('curves flag the steps whose time is shared evenly because a position between is missing or reversed', () => {
    const record = recordOf('a');
    const curveBase = { ...record.curveBase, shared: ['P2–P4'] };
    const lines = textOf('curves', { records: [{ ...record, curveBase }] }).split('\r\n');
    const flagged = lines.slice(1, 82).flatMap((line, step) => (line.endsWith(',time-shared') ? [step] : []));
    expect(flagged).toEqual(Array.from({ length: 19 }, (_, i) => 11 + i));
  });
});

describe('the text of a table', () => {
  const table = {
    name: 't',
    about: '',
    columns: [textColumn<string>('a', '', (row) => row), textColumn<string>('b', '', () => null)],
  };
  it('is read back alike by another reader of RFC 4180', () => {
    const rows = ['plain', 'a,b', 'say "x"', 'two\r\nlines', 'lone\nfeed', ' spaces ', 'ü', ''];
    const back = parse([...csvText(table, rows)].join(''), { from_line: 2, record_delimiter: '\r\n' }) as string[][];
    expect(back.map((row) => row[0])).toEqual(rows);
  });
  it.each(['=1+1', '+1', '-1', '@x', '\tx', ' =1', '\u200b\u202e+1', '\uff1d1', '\uff201'])(
    '%j cannot be taken for a formula',
    (text) => {
      expect([...csvText(table, [text])].join('')).toBe(`a,b\r\n'${text},\r\n`);
    },
  );
  it('writes each row as if it stood alone, whatever stood above it in any column', () => {
    const two = {
      name: 't',
      about: '',
      columns: [
        textColumn<readonly [string, string]>('a', '', (row) => row[0]),
        textColumn<readonly [string, string]>('b', '', (row) => row[1]),
      ],
    };
    const fields = ['', 'p', '=1', 'a,b', 'say "x"', '', '=1'];
    const rows = fields.flatMap((a) => fields.flatMap((b) => [[a, b] as const, [a, a] as const, [b, a] as const]));
    const alone = rows.map((row) => csvRows(two, [row]));
    expect(csvRows(two, rows)).toBe(alone.join(''));
    expect([...csvText(two, rows)].join('')).toBe(`a,b\r\n${alone.join('')}`);
    expect(new Set(alone)).toContain('"a,b",\'=1\r\n');
  });
  it('comes in pieces, so that a long table is never held whole', () => {
    const pieces = [...csvText(table, Array<string>(40_000).fill('0123456789'))];
    expect(pieces.length).toBeGreaterThan(5);
    expect(Math.max(...pieces.map((piece) => piece.length))).toBeLessThan(70_000);
  });
});

describe('the stored record', () => {
  const text = storedRecordText(recordOf('a'));
  it('reads back as JSON with every double exact and missing numbers null', () => {
    const back = JSON.parse(text) as ReturnType<typeof recordOf>;
    expect(back.cells[0]?.value).toBe(-Math.PI / 4);
    expect(back.curveBase.times_s[0]).toBeNull();
    expect(back.curves[0]?.values).toHaveLength(81);
    expect(back.quality[0]?.noise_m).toBeNull();
  });
  it('has the same bytes whatever the order in which the record was put together', () => {
    const record = recordOf('a');
    const turned = Object.fromEntries(Object.entries(record).reverse()) as unknown as typeof record;
    expect(storedRecordText(turned)).toBe(text);
  });
  it('of a swing of markers has no word about sensors; of sensors they stand before the diagnostics', () => {
    expect(text).not.toContain('sensors');
    const keys = Object.keys(JSON.parse(storedRecordText(recordOf('a', { sensors: [] }))) as object);
    expect(keys.slice(-3)).toEqual(['quality', 'sensors', 'diagnostics']);
  });
  it('writes -0 as 0', () => {
    expect(jsonText([-0, 0.1 + 0.2, Number.POSITIVE_INFINITY, undefined])).toBe('[0,0.30000000000000004,null,null]');
  });
});

describe('faults', () => {
  it('have a row a stretch, or one without frames', () => {
    const detail = '=5 mm';
    const faults = [
      {
        code: 'marker-sticks',
        markers: ['C7'],
        frames: [
          [24, 47],
          [120, 120],
        ],
        action: 'removed',
        detail,
      },
      { code: 'marker-moved', markers: ['IJ', 'PX'], frames: [], action: 'kept', detail: 'by 12 mm' },
    ] as const;
    const lines = textOf('faults', { outcomes: [outcomeOf('a', { record: { ...recordOf('a'), faults } })] }).split(
      '\r\n',
    );
    // the fixture has 240 frames a second
    expect(lines.slice(1)).toEqual([
      "auk,a,marker-sticks,C7,24,47,0.10000,0.19583,removed,'=5 mm",
      "auk,a,marker-sticks,C7,120,120,0.50000,0.50000,removed,'=5 mm",
      'auk,a,marker-moved,IJ;PX,,,,,kept,by 12 mm',
      '',
    ]);
  });
});
