/** The command line straight from the sources, without a build: npx tsx scripts/swingbasis.ts process day.yaml */
import { run } from '../src/cli/main.ts';

process.exitCode = await run(process.argv.slice(2));
