import { LANGUAGES, type Language } from '../model/reportSettings.ts';
import { UsageError } from './exit.ts';

/** The language that `--language` names, as part of a request; nothing where it is not given. @throws UsageError */
export function languageOf(text: string | undefined): { readonly language?: Language } {
  if (text === undefined) return {};
  const language = LANGUAGES.find((one) => one === text);
  if (language === undefined)
    throw new UsageError(`--language: "${text}" is none of the languages there are: ${LANGUAGES.join(', ')}`);
  return { language };
}
