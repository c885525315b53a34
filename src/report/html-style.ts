/**
 * The look of a report and a memo, on a screen and on A4 or Letter paper. `@page` gives margins and
 * no size, so the printer's own paper is used; widths are relative, so both fit.
 */
export const htmlStyle = `
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { font: 16px/1.5 "DejaVu Sans", Verdana, Arial, sans-serif; color: #1a1a1a; background: #fff;
  max-width: 54rem; margin: 0 auto; padding: 1.5rem 1rem 3rem; }
h1 { font-size: 1.6rem; line-height: 1.25; margin: 0 0 .5rem; }
h2 { font-size: 1.2rem; margin: 2rem 0 .5rem; border-bottom: 1px solid #999; }
h3 { font-size: 1rem; margin: 1.4rem 0 .3rem; }
p, ul, ol { margin: .5rem 0; }
.letterhead { font-size: .9rem; border-bottom: 2px solid #1a1a1a; margin-bottom: 1rem;
  padding-bottom: .4rem; }
.verdict { font-size: 1.15rem; font-weight: bold; border: 2px solid #1a1a1a;
  border-left-width: .6rem; padding: .7rem .9rem; margin: .8rem 0; }
.caution { border: 1px solid #1a1a1a; border-left: .4rem double #1a1a1a; padding: .5rem .8rem;
  margin: .8rem 0; }
.caution p { margin: .25rem 0; }
.blank { border-bottom: 1px solid #1a1a1a; background: #f3f3f3; padding: 0 .3rem; color: #555;
  font-size: .85em; }
.blank::after { content: "\\00a0\\00a0\\00a0\\00a0\\00a0\\00a0\\00a0\\00a0\\00a0\\00a0"; }
table { border-collapse: collapse; width: 100%; font-size: .88rem; margin: .6rem 0 1rem; }
caption { text-align: left; font-weight: bold; padding: .2rem 0; }
th, td { text-align: left; vertical-align: top; padding: .25rem .5rem; border-bottom: 1px solid #bbb; }
th { border-bottom: 2px solid #1a1a1a; }
.right { text-align: right; white-space: nowrap; font-variant-numeric: tabular-nums; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: .15rem 1rem; margin: .6rem 0; }
dt { font-weight: bold; } dd { margin: 0; }
figure { margin: 1rem 0; }
figure { overflow-x: auto; }
figure img, figure svg { max-width: 100%; height: auto; }
figcaption { font-size: .85rem; color: #444; }
.page-break { border: 0; border-top: 1px solid #999; margin: 2rem 0; }
#tip { position: absolute; display: none; background: #fff; border: 1px solid #1a1a1a;
  padding: .25rem .5rem; font-size: .8rem; pointer-events: none; z-index: 9; white-space: pre; }
@media screen and (max-width: 40rem) {
  body { padding: 1rem .8rem 2rem; }
  /* A picture keeps a size at which it can be read and is pushed sideways; so is a table. */
  figure img, figure svg { max-width: none; }
  table { display: block; overflow-x: auto; font-size: .8rem; }
  th, td { padding: .25rem .3rem; } td { min-width: 4rem; }
}
@page { margin: 18mm 16mm; }
@media print {
  html { font-size: 10pt; }
  body { font-size: 10pt; line-height: 1.3; max-width: none; padding: 0; }
  figure { margin: .6rem 0; } th, td { padding: .15rem .4rem; }
  h1 { font-size: 16pt; } h2 { font-size: 12.5pt; margin-top: 14pt; } h3 { font-size: 10.5pt; }
  h2, h3, caption { break-after: avoid; }
  figure, tr, .verdict, .caution { break-inside: avoid; }
  thead { display: table-header-group; }
  .live, #tip { display: none !important; }
  .still { display: block !important; }
  .page-break { border: 0; margin: 0; break-after: page; }
  .verdict, .blank, th { print-color-adjust: exact; -webkit-print-color-adjust: exact; }
}
`;
