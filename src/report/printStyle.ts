/**
 * How the pages of a report print, on A4 and on letter alike: landscape, the reader's own choice of paper, one sheet a page and as large
 * as the page. Words keep a margin; `.sheet` is an element that has a page for itself, the picture in it as large as the paper allows.
 */
export const PRINT_STYLE = `
@page { size: landscape; margin: 10mm 12mm; }
@page sheet { size: landscape; margin: 0; }
@media print {
  body { padding: 0; max-width: none; font-size: 9pt; }
  .sheet { page: sheet; break-before: page; break-inside: avoid; }
  .sheet img { width: 99.8%; height: auto; margin: 0 auto; border: 0; }
  .screen, .sheet h2, .words, .links { display: none; }
  .others { break-before: page; }
  h2 { margin-top: 6mm; }
  .foot { margin-top: 3mm; }
  tr, dt, dd, li { break-inside: avoid; }
  dt { break-after: avoid; }
}
`;
