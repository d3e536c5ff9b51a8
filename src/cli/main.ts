/** The command line: options, messages, exit codes. Each command loads what it needs when it is called. */

import { Command, CommanderError } from 'commander';
import { FileError } from '../disk/fileSource.ts';
import { programFacts } from '../disk/packageFacts.ts';
import { LANGUAGES } from '../model/reportSettings.ts';
import { archiveCommands } from './archiveOptions.ts';
import type { CheckFlags } from './checkCommand.ts';
import { EXIT, Interrupted, UsageError } from './exit.ts';
import type { InspectFlags } from './inspectCommand.ts';
import { type PrintFlags, withPrintOptions } from './printing.ts';

const FIRST_DAY = `Three commands of a first day:

  swingbasis demo                     processes the sample day; look at swingbasis-demo/index.html
  swingbasis draft FOLDER             writes FOLDER/day.yaml from your captures; fill in each "?"
  swingbasis process FOLDER/day.yaml  writes the report and the tables to FOLDER/results

swingbasis --help lists all commands and options.
`;

const TABLES = 'formats of the tables, comma between them: csv (always written), parquet, xlsx';
const DAY_TABLES = `${TABLES}; c3d, bids: a copy of each swing with its angles and positions`;
const LANGUAGE = `language of the report: ${LANGUAGES.join(', ')} (default: as the day file says, otherwise en)`;
const FIGURES = 'also write each panel of the sheets as its own SVG with its numbers as CSV, to figures/PLAYER';
const ORDER_CHECK =
  'a segment or joint in all twelve orders of axes, such as thorax or trunk,lead_hip: which verdicts change with the order';

function examples(...lines: readonly string[]): string {
  return `\nExample${lines.length > 1 ? 's' : ''}:\n${lines.map((line) => `  $ ${line}`).join('\n')}\n`;
}

function buildProgram(done: (code: number) => void): Command {
  const program = new Command('swingbasis');
  program
    .description(
      'Benchmarks a golfer’s driver against that player’s own irons, from motion-capture files (C3D) or tables of inertial sensors.',
    )
    .version(programFacts().version, '-V, --version', 'print the version')
    .helpOption('-h, --help', 'print this help')
    .showSuggestionAfterError(true)
    .addHelpText('after', examples('swingbasis demo', 'swingbasis process day.yaml'))
    .exitOverride();
  program
    .command('inspect')
    .description('show what is in capture files and what the data say about themselves')
    .argument('<file...>', 'C3D files, tables of sensors (.csv, .tsv, .txt), folders with one table per sensor')
    .option('--json', 'print one array of objects, one per file', false)
    .option('--angles-between <parent,child>', 'angles between two rotations of a C3D file, by their labels')
    .option('--order <axes>', 'order of the three angles, as the axes are turned (default: ZXY)')
    .option('--quality <dir>', 'write a figure of each C3D file into this folder: where each point is missing')
    .addHelpText(
      'after',
      examples(
        'swingbasis inspect swing1.c3d',
        'swingbasis inspect --json *.c3d',
        'swingbasis inspect sensors/swing7.csv sensors/swing8/',
        'swingbasis inspect *.c3d --quality figures',
        'swingbasis inspect suit.c3d --angles-between pelvis,thorax --order ZXY',
      ),
    )
    .action(async (files: string[], options: InspectFlags) => {
      done(await (await import('./inspectCommand.ts')).inspectCommand(files, options));
    });
  program
    .command('draft')
    .description('write a first day file for a folder of captures; never overwrites')
    .argument('<folder>', 'folder with C3D files or tables of sensors')
    .option('--out <file>', 'day file to write (default: FOLDER/day.yaml)')
    .addHelpText('after', examples('swingbasis draft captures/2026-05-31'))
    .action(async (folder: string, options: { out?: string }) => {
      done((await import('./draftCommand.ts')).draftCommand(folder, options.out ?? null));
    });
  program
    .command('check')
    .description('say which captures of a day are usable and what to capture again first; writes nothing')
    .argument('<dayfile>', 'the day file (YAML); files that it names may still be missing')
    .option('--lab <file>', 'settings that are the same every day in one lab; the day file wins')
    .option('--data <dir>', 'where the paths of the trials start (default: the folder of the day file)')
    .option('--json', 'print one object', false)
    .option('--no-repair', 'faults of a recording are found and named, and every sample stays as recorded')
    .addHelpText('after', examples('swingbasis check day.yaml', 'swingbasis check day.yaml --data captures --json'))
    .action(async (dayFile: string, options: CheckFlags) => {
      done(await (await import('./checkCommand.ts')).checkCommand(dayFile, options));
    });
  withPrintOptions(program.command('process'))
    .description('analyse a day and write its report and tables')
    .argument('<dayfile>', 'the day file (YAML)')
    .option('--out <dir>', 'folder for the results (default: results beside the day file)')
    .option('--lab <file>', 'settings that are the same every day in one lab; the day file wins')
    .option('--data <dir>', 'where the paths of the trials start (default: the folder of the day file)')
    .option('--curves', 'also write tables/curves.csv (by position) and curves_time.csv (every frame)', false)
    .option('--tables <list>', DAY_TABLES)
    .option('--figures', FIGURES, false)
    .option('--orders <list>', 'more angle orders, such as ZXY or thorax:ZXY,lead_knee:XYZ')
    .option('--order-check <list>', ORDER_CHECK)
    .option('--strict', 'reject every trial that has a warning', false)
    .option('--residuals', 'also write figures/<trial>-residuals.svg: what the rules for the cutoff read', false)
    .option('--no-repair', 'faults of a recording are found and named, and every sample stays as recorded')
    .option('--language <tag>', LANGUAGE)
    .option('--workers <n>', 'threads that analyse trials; 1: none beside the program itself (default: one a core)')
    .option('--trial-limit <seconds>', 'longest time of one trial on a thread (default: 300)')
    .option('--log <form>', 'progress as text or as json, one object a line on stderr (default: text)')
    .option(
      '--shard <i/n>',
      'only a share of the day, such as 2/8, or auto in a job array; gather makes the day of them',
    )
    .option('--watch', 'go on while the day is captured: take new files, write the report anew; Ctrl-C ends it', false)
    .option('--settle <seconds>', 'with --watch: so long a file stands still before it is taken (default: 2)')
    .addHelpText(
      'after',
      examples(
        'swingbasis process day.yaml',
        'swingbasis process day.yaml --out results --curves',
        'swingbasis process day.yaml --watch',
      ),
    )
    .action(async (dayFile: string, options: ProcessFlags) => {
      done(await (await import('./processCommand.ts')).processCommand(dayFile, options));
    });
  withPrintOptions(program.command('gather'))
    .description('make one day of the shares that process --shard left in a folder')
    .argument('<folder>', 'the folder that all shares were written to')
    .addHelpText('after', examples('swingbasis gather results'))
    .action(async (folder: string, options: GatherFlags) => {
      done(await (await import('./gatherCommand.ts')).gatherCommand(folder, options));
    });
  withPrintOptions(program.command('compare'))
    .description(
      'compare swings of a day that is already processed, days of a player, or any table with one row per swing',
    )
    .argument('[folder...]', 'folders that process wrote: one day, or several days with a date each')
    .option(
      '--of <names>',
      'the swings that are compared: clubs, kinds or sets, comma between them; with --table values of the group column',
    )
    .option('--against <names>', 'the swings of the same player that they are compared with')
    .option('--player <name>', 'one player only; with --table the column that names the player (default: all are one)')
    .option(
      '--reapplication <settings>',
      'of several days: what putting the markers on again may move, QUANTITY=VALUE, comma between (default: 3 degrees, pelvis.forward_bend 5)',
    )
    .option('--table <file>', 'a table instead of a folder: comma, semicolon or tab, its first line names the columns')
    .option('--swing-id <column>', 'column that names the swing; a name that comes again is left out')
    .option('--group <column>', 'column that says which swings belong together, such as the club')
    .option('--values <columns>', 'columns of numbers, comma between them; * stands for any letters')
    .option('--by <columns>', 'columns whose values keep the swings of a player apart, such as the view of a camera')
    .option(
      '--margin <settings>',
      'largest difference without meaning: 2 for all columns, 3% of the mean, COLUMN=2 (default: none, so that a column can only differ)',
    )
    .option('--primary <columns>', 'columns fixed beforehand: adjusted by Holm, all others are screening')
    .option('--tables <list>', TABLES)
    .option('--figures', FIGURES, false)
    .option('--order-check <list>', ORDER_CHECK)
    .option('--language <tag>', LANGUAGE)
    .option('--out <dir>', 'folder for the comparison (default: comparison beside the folder or table)')
    .addHelpText(
      'after',
      examples(
        'swingbasis compare results',
        'swingbasis compare results --of iron5 --against irons',
        'swingbasis compare results --of driver,after --against driver,before --player wren',
        'swingbasis compare may/results september/results',
        'swingbasis compare --table shots.csv --player golfer --group club --values "hip*,spine" --of driver --against "iron*" --margin 3%,spine=2',
      ),
    )
    .action(async (folders: string[], options: CompareFlags) => {
      done(await (await import('./compareCommand.ts')).compareCommand(folders, options));
    });
  program
    .command('explain')
    .description('say how one number of a processed day was made, from its recording to its ±')
    .argument('<out>', 'folder that process wrote; the recordings are not needed')
    .argument('<trial>', 'the trial, as tables/trials.csv names it')
    .argument('<quantity>', 'the quantity, as docs/quantities.md names it; of an extra order such as thorax.first:ZXY')
    .argument('[position]', 'the position, such as P4; none for a quantity that a swing has once')
    .option('--json', 'print one object', false)
    .addHelpText(
      'after',
      examples(
        'swingbasis explain results wren/1-driver-1 thorax.forward_bend P5.5',
        'swingbasis explain results wren/1-driver-1 club.attack --json',
      ),
    )
    .action(async (...[out, trial, quantity, position, options]: ExplainArguments) => {
      const { explainCommand } = await import('./explainCommand.ts');
      done(explainCommand([out, trial, quantity], position ?? null, options));
    });
  withPrintOptions(program.command('demo'))
    .description('process the sample day that comes with the program')
    .option('--out <dir>', 'folder for the results', 'swingbasis-demo')
    .option('--language <tag>', LANGUAGE)
    .addHelpText('after', examples('swingbasis demo', 'swingbasis demo --out reports/demo'))
    .action(async (options: DemoFlags) => {
      done(await (await import('./processCommand.ts')).demoCommand(options));
    });
  program
    .command('rewrite')
    .description('write a C3D file again: another encoding, fewer frames or points, without names')
    .argument('<in>', 'the C3D file to read; it is never overwritten')
    .argument('<out>', 'the C3D file to write')
    .option('--encoding <name>', 'intel, dec or mips (default: as the file read)')
    .option('--form <name>', 'float or integer (default: as the file read)')
    .option('--frames <from-to>', 'stored frames counted from 0, both included, such as 100-499')
    .option('--keep <labels>', 'points that stay, comma between them')
    .option('--drop <labels>', 'points that are left out, comma between them')
    .option('--without-names', 'remove names of people and makers from the parameters', false)
    .option('--drop-groups <names>', 'parameter groups that are left out, comma between them')
    .option('--strict', 'refuse a file that departs from the format', false)
    .option('--replace', 'overwrite OUT where it exists', false)
    .addHelpText(
      'after',
      examples(
        'swingbasis rewrite swing1.c3d copy.c3d --encoding intel --form float',
        'swingbasis rewrite swing1.c3d cut.c3d --frames 100-499 --drop BALL --without-names',
      ),
    )
    .action(async (input: string, out: string, options: RewriteFlags) => {
      done((await import('./rewriteCommand.ts')).rewriteCommand(input, out, options));
    });
  archiveCommands(program, examples, done);
  return program;
}

type ExplainArguments = [string, string, string, string | undefined, ExplainFlags];

export interface ExplainFlags {
  readonly json: boolean;
}

export interface RewriteFlags {
  readonly encoding?: string;
  readonly form?: string;
  readonly frames?: string;
  readonly keep?: string;
  readonly drop?: string;
  readonly withoutNames: boolean;
  readonly dropGroups?: string;
  readonly strict: boolean;
  readonly replace: boolean;
}

export interface CompareFlags extends PrintFlags {
  readonly of?: string;
  readonly against?: string;
  readonly player?: string;
  readonly table?: string;
  readonly swingId?: string;
  readonly group?: string;
  readonly values?: string;
  readonly by?: string;
  readonly margin?: string;
  readonly primary?: string;
  readonly reapplication?: string;
  readonly orderCheck?: string;
  readonly tables?: string;
  readonly figures: boolean;
  readonly language?: string;
  readonly out?: string;
}

export interface DemoFlags extends PrintFlags {
  readonly language?: string;
  readonly out: string;
}

export interface ProcessFlags extends PrintFlags {
  readonly out?: string;
  readonly lab?: string;
  readonly data?: string;
  readonly curves: boolean;
  readonly tables?: string;
  readonly figures: boolean;
  readonly orders?: string;
  readonly orderCheck?: string;
  readonly strict: boolean;
  readonly residuals: boolean;
  /** False with `--no-repair`. */
  readonly repair: boolean;
  readonly language?: string;
  readonly workers?: string;
  readonly trialLimit?: string;
  readonly log?: string;
  readonly shard?: string;
  readonly watch: boolean;
  readonly settle?: string;
}

export type GatherFlags = PrintFlags;

/** Runs one command line (without the program's own name) and returns its exit code. Never throws for a user's mistake. */
export async function run(args: readonly string[]): Promise<number> {
  let code: number = EXIT.used;
  if (args.length === 0) {
    process.stdout.write(FIRST_DAY);
    return code;
  }
  const program = buildProgram((value) => {
    code = value;
  });
  try {
    await program.parseAsync([...args], { from: 'user' });
    return code;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? EXIT.used : EXIT.notRun;
    if (error instanceof Interrupted) {
      process.stderr.write('interrupted: nothing half-written is left behind\n');
      return EXIT.interrupted;
    }
    if (error instanceof FileError || error instanceof UsageError) {
      process.stderr.write(`error: ${error.message}\n`);
      return EXIT.notRun;
    }
    process.stderr.write(`the program failed in a way it should not; please report this:\n`);
    process.stderr.write(`${error instanceof Error ? (error.stack ?? error.message) : String(error)}\n`);
    return EXIT.notRun;
  }
}
