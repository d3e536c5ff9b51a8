import { TableOptionError } from '../day/tableOptions.ts';
import { compareDay, compareDays } from '../disk/runComparison.ts';
import { runTable } from '../disk/runTable.ts';
import { SelectionError } from '../pipeline/compareStored.ts';
import { findingOf } from '../pipeline/headline.ts';
import { sessionHeadline } from '../pipeline/renderSessions.ts';
import { tableFinding, tableName } from '../pipeline/renderTable.ts';
import { EN } from '../report/words/en.ts';
import { EXIT, UsageError } from './exit.ts';
import { languageOf } from './languageOption.ts';
import type { CompareFlags } from './main.ts';
import { orderCheckOf } from './ordersOption.ts';
import { withPrinting } from './printing.ts';
import { watchSignals } from './progress.ts';
import { findingLine, orderLines, shownBelow } from './summary.ts';
import { formatsOf } from './tablesOption.ts';

/** Options that only a table has, by the key of their flag. */
const OF_TABLES = {
  swingId: '--swing-id',
  group: '--group',
  values: '--values',
  by: '--by',
  margin: '--margin',
  primary: '--primary',
} as const;

/** Exit code 1 where a record, a row or a value could not be used. @throws UsageError @throws FileError */
export async function compareCommand(folders: readonly string[], flags: CompareFlags): Promise<number> {
  if (flags.table !== undefined && flags.png)
    throw new UsageError('--png belongs to folders: the report of a table has no sheets; use --pdf');
  if (flags.figures && (flags.table !== undefined || folders.length > 1))
    throw new UsageError('--figures belongs to one folder: only its sheets have panels');
  if (flags.orderCheck !== undefined && (flags.table !== undefined || folders.length > 1))
    throw new UsageError('--order-check belongs to one folder: the rotations of its records are read');
  const { pause, release } = watchSignals();
  try {
    return await withPrinting(flags, async (print) => {
      const run = await compareAsked(folders, flags, pause);
      const code = told(run);
      return Math.max(code, await print(run.out, pause));
    });
  } catch (error) {
    if (error instanceof SelectionError || error instanceof TableOptionError) throw new UsageError(error.message);
    throw error;
  } finally {
    release();
  }
}

/** What a comparison says on the screen. */
interface Told {
  readonly findings: readonly string[];
  readonly out: string;
  readonly problems: readonly string[];
}

async function compareAsked(
  folders: readonly string[],
  flags: CompareFlags,
  pause: () => Promise<void>,
): Promise<Told> {
  if (flags.table !== undefined) {
    if (folders.length > 0) throw new UsageError(`give folders or --table FILE, not both (${folders.join(', ')})`);
    if (flags.reapplication !== undefined) throw new UsageError('--reapplication belongs to several folders');
    return await compareTableFile(flags.table, flags, pause);
  }
  const [folder] = folders;
  if (folder === undefined) {
    throw new UsageError('name folders that process wrote, or a table with --table FILE; see compare --help');
  }
  const lone = (Object.keys(OF_TABLES) as (keyof typeof OF_TABLES)[]).find((key) => flags[key] !== undefined);
  if (lone !== undefined) throw new UsageError(`${OF_TABLES[lone]} belongs to --table FILE`);
  if (folders.length > 1) return await compareFolders(folders, flags, pause);
  if (flags.reapplication !== undefined) throw new UsageError('--reapplication belongs to several folders');
  return await compareFolder(folder, flags, pause);
}

async function compareFolder(folder: string, flags: CompareFlags, pause: () => Promise<void>): Promise<Told> {
  const request = {
    folder,
    out: flags.out ?? null,
    named: bothSides(flags),
    player: flags.player ?? null,
    figures: flags.figures,
    tables: formatsOf(flags.tables),
    orderCheck: orderCheckOf(flags.orderCheck),
    ...languageOf(flags.language),
  };
  const run = await compareDay(request, pause);
  const findings = run.comparisons.map(findingOf);
  return { ...run, findings: [...findings.map(findingLine), ...orderLines(findings)] };
}

async function compareFolders(
  folders: readonly string[],
  flags: CompareFlags,
  pause: () => Promise<void>,
): Promise<Told> {
  const run = await compareDays(
    {
      folders,
      out: flags.out ?? null,
      named: bothSides(flags),
      player: flags.player ?? null,
      reapplication: flags.reapplication ?? null,
      tables: formatsOf(flags.tables),
      ...languageOf(flags.language),
    },
    pause,
  );
  for (const note of run.result.notes) process.stderr.write(`${note}\n`);
  const lines = run.result.comparisons.map(
    (comparison) => `${comparison.player}, ${comparison.after}: ${sessionHeadline(EN, comparison)}`,
  );
  return { findings: lines, ...run };
}

async function compareTableFile(table: string, flags: CompareFlags, pause: () => Promise<void>): Promise<Told> {
  const needed = (value: string | undefined, option: string): string => {
    if (value === undefined) throw new UsageError(`--table needs ${option}; see compare --help`);
    return value;
  };
  const request = {
    swingId: flags.swingId ?? null,
    player: flags.player ?? null,
    group: needed(flags.group, '--group COLUMN, which says what swings belong together'),
    values: needed(flags.values, '--values COLUMNS, the numbers that are compared'),
    by: flags.by ?? null,
    of: needed(flags.of, '--of NAMES, the swings that are compared'),
    against: needed(flags.against, '--against NAMES, the swings to compare with'),
    margin: flags.margin ?? null,
    primary: flags.primary ?? null,
  };
  const tables = formatsOf(flags.tables);
  const run = await runTable(table, request, { out: flags.out ?? null, tables, ...languageOf(flags.language) }, pause);
  for (const note of run.notes) process.stderr.write(`${note}\n`);
  const lines = run.comparisons.map((comparison) => `${tableName(EN, comparison)}: ${tableFinding(EN, comparison)}`);
  return { findings: lines, ...run };
}

function told({ findings, out, problems }: Told): number {
  for (const problem of problems) process.stderr.write(`${problem}\n`);
  process.stdout.write(`${[...findings, `report: ${shownBelow(out, 'index.html')}`].join('\n')}\n`);
  return problems.length > 0 ? EXIT.someBad : EXIT.used;
}

/** Both sides, or null for what the day file says. */
function bothSides({ of, against }: CompareFlags): { readonly of: string; readonly against: string } | null {
  if (of === undefined && against === undefined) return null;
  if (of === undefined) throw new UsageError(`--against ${against} needs --of NAME: the swings that are compared`);
  if (against === undefined) throw new UsageError(`--of ${of} needs --against NAME: the swings to compare with`);
  return { of, against };
}
