/** Day files and tables of trials are decoded as all text of this program is. */
export { type DecodedText, decodeText } from '../base/decodeText.ts';
