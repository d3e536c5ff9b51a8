import { vi } from 'vitest';
import { run } from '../../src/cli/main.ts';

export interface CliRun {
  readonly code: number;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs one command line in this process and catches what it prints. */
export async function cli(...args: readonly string[]): Promise<CliRun> {
  let stdout = '';
  let stderr = '';
  const out = vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    stdout += String(text);
    return true;
  });
  const err = vi.spyOn(process.stderr, 'write').mockImplementation((text) => {
    stderr += String(text);
    return true;
  });
  try {
    const code = await run(args);
    return { code, stdout, stderr };
  } finally {
    out.mockRestore();
    err.mockRestore();
  }
}
