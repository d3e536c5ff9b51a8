/** The papers a report is printed on, landscape, millimetres (ISO 216 and ANSI/ASME Y14.1, from memory). */
export const PAPERS = {
  a4: { width_mm: 297, height_mm: 210 },
  letter: { width_mm: 279.4, height_mm: 215.9 },
} as const;

export type Paper = keyof typeof PAPERS;

export function isPaper(name: string): name is Paper {
  return Object.hasOwn(PAPERS, name);
}
