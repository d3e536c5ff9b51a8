/** Names of events that need no mapping: the positions themselves and the plain words of the trade (common practice, no source). */
const EVENT_WORDS: Readonly<Record<string, string>> = {
  ADDRESS: 'P1',
  TAKEAWAY: 'P2',
  TOP: 'P4',
  IMPACT: 'P7',
  FINISH: 'P10',
};

/** The position an event's label means, by the day file's mapping first; null for any other event. Case does not count. */
export function positionOfEvent(label: string, mapped: Readonly<Record<string, string>>): string | null {
  const key = label.trim().toUpperCase();
  const found = Object.entries(mapped).find(([name]) => name.trim().toUpperCase() === key);
  if (found !== undefined) return found[1];
  return /^P(10|[1-9](\.5)?)$/.test(key) ? key : (EVENT_WORDS[key] ?? null);
}
