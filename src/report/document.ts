/**
 * A document to draw in. The one place that knows where it comes from: loading it takes about a second, so it is loaded
 * when the first report is made, and one document serves all sheets. No script runs in it and it fetches nothing.
 */
export async function createReportDocument(): Promise<Document> {
  const { JSDOM } = await import('jsdom');
  return new JSDOM('<!doctype html><html lang="en"><head></head><body></body></html>').window.document;
}
