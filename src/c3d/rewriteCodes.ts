/** Codes of what a rewritten C3D file could not take over from the file read. */
import type { DiagnosticTable } from '../base/diagnostics.ts';

/** Every code that writing a C3D file again may give, with its severity, its meaning and what to do. */
export const C3D_REWRITE_DIAGNOSTICS = {
  'sample-not-held': {
    severity: 'warning',
    meaning:
      'The new form has no such value: integers lack NaN and infinities, DEC floats also sizes below 2^−128 and from 2^127 (1.7e38). Too small a value becomes 0; any other becomes 0 and the sample of a point or rotation is marked invalid.',
    whatToDo: 'Write the file as Intel or MIPS floats if these samples matter.',
  },
  'parameter-not-held': {
    severity: 'warning',
    meaning: 'A parameter has values that DEC floats lack; they are 0.',
    whatToDo: 'Write the file as Intel or MIPS if the parameter named in the message matters.',
  },
  'parameter-left-out': {
    severity: 'warning',
    meaning: 'A parameter is longer than a record of the format can be and is left out.',
    whatToDo: 'Nothing, unless the parameter named in the message is needed.',
  },
  'residual-held-at-limit': {
    severity: 'warning',
    meaning: 'Residuals are larger than 255 of the new integer steps and are held at 255.',
    whatToDo: 'Write floats if residuals matter.',
  },
  'analog-left-out': {
    severity: 'warning',
    meaning: 'The analog values could not be told apart when the file was read and are left out.',
    whatToDo: 'Keep the file itself if its analog values are needed.',
  },
} as const satisfies DiagnosticTable;
