import type { Language } from '../../model/reportSettings.ts';
import { DE } from './de.ts';
import { EN } from './en.ts';
import type { Words } from './words.ts';

const LANGUAGE_WORDS: Readonly<Record<Language, Words>> = { en: EN, de: DE };

/** The words of a language. */
export function wordsOf(language: Language): Words {
  return LANGUAGE_WORDS[language];
}
