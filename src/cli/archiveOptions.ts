/** The commands below `archive`: their arguments and options. Each loads what it needs when it is called. */
import type { Command } from 'commander';

export interface ArchiveFlags {
  readonly archive: string;
}

export interface AddFlags extends ArchiveFlags {
  readonly replace: boolean;
}

export interface ListFlags extends ArchiveFlags {
  readonly names?: string;
  readonly json: boolean;
}

export interface TrendFlags extends ArchiveFlags {
  readonly out?: string;
  readonly names?: string;
  readonly tables?: string;
}

type Examples = (...lines: readonly string[]) => string;

/** Where the archive lies: in the folder that one works in, unless it is said. */
function withArchiveOption(command: Command): Command {
  return command.option('--archive <dir>', 'folder of the archive', 'archive');
}

export function archiveCommands(program: Command, examples: Examples, done: (code: number) => void): void {
  const archive = program
    .command('archive')
    .description('keep processed days over a season and ask them: add, list, query, trend, forget');
  const load = async () => await import('./archiveCommand.ts');
  withArchiveOption(archive.command('add'))
    .description('put a processed day into the archive, as a whole or not at all')
    .argument('<out>', 'folder that process wrote; its day file has a date')
    .option('--replace', 'take the place of a day of the same name and date', false)
    .addHelpText('after', examples('swingbasis archive add results', 'swingbasis archive add results --archive season'))
    .action(async (out: string, options: AddFlags) => {
      done(await (await load()).addCommand(out, options));
    });
  withArchiveOption(archive.command('list'))
    .description('list the days of the archive with players, swings, program and size')
    .option('--names <file>', 'table with the columns code and name: players are shown by name, on the screen alone')
    .option('--json', 'print one object', false)
    .addHelpText('after', examples('swingbasis archive list', 'swingbasis archive list --names names.csv'))
    .action(async (options: ListFlags) => {
      done((await load()).listCommand(options));
    });
  withArchiveOption(archive.command('query'))
    .description('ask the tables of the archive in SQL; reads only, and answers as CSV on stdout')
    .argument('<sql>', 'one SELECT statement over days, angles, comparison, positions, quality, stills, trials')
    .addHelpText(
      'after',
      examples(
        'swingbasis archive query "SELECT * FROM days"',
        "swingbasis archive query \"SELECT day, kind, avg(value) FROM angles WHERE player = 'wren' AND quantity = 'pelvis.turn' AND position = 'P4' GROUP BY ALL ORDER BY ALL\"",
      ),
    )
    .action(async (sql: string, options: ArchiveFlags) => {
      done(await (await load()).queryCommand(sql, options));
    });
  withArchiveOption(archive.command('trend'))
    .description('report on a player over the season: driver, irons and the gap between them by date')
    .argument('<player>', 'id of the player')
    .option('--out <dir>', 'folder for the report (default: trend-PLAYER beside the archive)')
    .option('--tables <list>', 'formats of the table, comma between them: csv (always written), parquet')
    .option('--names <file>', 'table with the columns code and name, for the screen alone: the report has the id')
    .addHelpText('after', examples('swingbasis archive trend wren', 'swingbasis archive trend wren --out reports/wren'))
    .action(async (player: string, options: TrendFlags) => {
      done(await (await load()).trendCommand(player, options));
    });
  withArchiveOption(archive.command('forget'))
    .description('remove a player from every day of the archive and say what was removed')
    .argument('<player>', 'id of the player')
    .addHelpText('after', examples('swingbasis archive forget wren'))
    .action(async (player: string, options: ArchiveFlags) => {
      done(await (await load()).forgetCommand(player, options));
    });
}
