import type { EN } from './en.ts';

/**
 * The words of a language: every sentence and label by its place, numbers and names as `{name}` in it; functions where a language needs
 * another order or form. English is complete and so declares what there is; a language without a word of its own says the English one.
 */
export type Words = typeof EN;
