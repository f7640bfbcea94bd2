/** The looks of the report's page. Contrast of every text on its ground at least 4.5 to 1 (WCAG 2.1, 1.4.3). */
export const STYLE = `
:root { color-scheme: light; font: 16px/1.5 system-ui, sans-serif; color: #1b1b1b; background: #fff; }
body { margin: 0 auto; max-width: 76rem; padding: 1.2rem; }
h1 { font-size: 1.7rem; line-height: 1.2; margin: 0 0 .4rem; overflow-wrap: anywhere; }
h2 { font-size: 1.25rem; margin: 2.2rem 0 .5rem; padding-bottom: .2rem; border-bottom: 2px solid #1b1b1b; }
h3 { font-size: 1rem; margin: 1.2rem 0 .3rem; }
p, li { max-width: 62rem; overflow-wrap: anywhere; }
p { margin: .3rem 0; }
ul, ol { margin: .3rem 0; padding-left: 1.2rem; }
.lead { font-size: 1.1rem; font-weight: 600; }
.mend { color: #555; }
a { color: #0a4d8c; }
:focus-visible { outline: 3px solid #0a4d8c; outline-offset: 2px; }
.skip { position: absolute; left: -100rem; }
.skip:focus { left: 1rem; top: .5rem; background: #fff; padding: .3rem .6rem; }
nav ul { list-style: none; display: flex; flex-wrap: wrap; gap: .2rem 1.1rem; padding: 0; margin: 1rem 0 0; }
figure { margin: .6rem 0; }
figure svg { display: block; max-width: 100%; height: auto; margin: 0 auto; }
.scroll { overflow-x: auto; margin: .6rem 0; }
table { border-collapse: collapse; font-variant-numeric: tabular-nums; }
caption { text-align: left; font-weight: 600; padding: .2rem 0; color: #333; }
th, td { text-align: left; vertical-align: top; padding: .25rem .9rem .25rem 0; border-bottom: 1px solid #ccc; }
tbody th { font-weight: 600; }
thead th { font-weight: 600; color: #444; vertical-align: bottom; border-bottom-color: #555; }
th.number, td.number { text-align: right; white-space: nowrap; }
.is-short { color: #9c1006; font-weight: 700; }
.is-marginal { color: #744900; font-weight: 600; }
.is-clear { color: #11602c; }
details { border: 1px solid #ccc; border-radius: 4px; margin: .4rem 0; padding: 0 .8rem; }
summary { cursor: pointer; padding: .4rem 0; font-weight: 600; overflow-wrap: anywhere; }
details[open] { padding-bottom: .6rem; }
.heat td, .heat th { border: 1px solid #fff; padding: .25rem .5rem; }
.heat td { text-align: right; white-space: nowrap; }
.heat thead th { font-weight: 600; max-width: 6.5rem; overflow-wrap: break-word; }
.own-level td, .own-level th { color: #444; }
.heat-0 { background: #8f2d12; color: #fff; }
.heat-1 { background: #ba4f27; color: #fff; }
.heat-2 { background: #f0a37c; color: #1b1b1b; }
.heat-3 { background: #f8cfb6; color: #1b1b1b; }
.heat-4 { background: #fdeee5; color: #1b1b1b; }
.heat-own { background: #cfe3f5; color: #1b1b1b; font-weight: 700; }
.heat-mate { background: #e6e6e6; color: #1b1b1b; }
.role { font-weight: 400; font-size: .8em; }
.swatch { padding: .05rem .4rem; white-space: nowrap; }
.is-short, .is-marginal, .is-clear { white-space: nowrap; }
@media print {
  @page { margin: 12mm; }
  :root { font-size: 9.5pt; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
  body { max-width: none; padding: 0; }
  nav, .skip { display: none; }
  .scroll { overflow: visible; }
  thead { display: table-header-group; }
  tr, li, figure, summary { break-inside: avoid; }
  h2, h3, caption { break-after: avoid; }
}
`;
