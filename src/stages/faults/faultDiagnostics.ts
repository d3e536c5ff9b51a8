import type { Diagnostic, DiagnosticRow, Severity } from '../../base/diagnostics.ts';
import { FAULT_GUIDE } from '../../model/faultGuide.ts';
import { FAULTS, type Fault, type FaultAction, type FaultCode } from '../../model/faults.ts';

const CODES = Object.keys(FAULTS) as FaultCode[];

/** One code a fault, with the severity of what is not repaired. */
export const FAULT_DIAGNOSTICS = Object.fromEntries(
  CODES.map((code): [FaultCode, DiagnosticRow] => {
    const { done, whatToDo } = FAULT_GUIDE[code];
    const text = FAULTS[code];
    const meaning = `${text[0]!.toUpperCase()}${text.slice(1)}. ${done} Information where it was repaired.`;
    return [code, { severity: 'warning', meaning, whatToDo }];
  }),
) as Readonly<Record<FaultCode, DiagnosticRow>>;

const SEVERITIES: Readonly<Record<FaultAction, Severity>> = {
  repaired: 'info',
  removed: 'warning',
  kept: 'warning',
  refused: 'error',
};

/** The faults as diagnostics: which markers, what was found, what was done. */
export function faultDiagnostics(faults: readonly Fault[]): readonly Diagnostic[] {
  return faults.map(({ code, markers, action, detail }) => ({
    code,
    severity: SEVERITIES[action],
    message: `${markers.length === 0 ? '' : `${markers.join(', ')}: `}${detail}; ${action}`,
    offset: null,
  }));
}
