"""How the report looks: light and dark, on a phone and on paper."""

from __future__ import annotations

from seatplan.views.caution import foot
from seatplan.views.svg.ink import STYLE as DRAWING


def style() -> str:
    """The style sheet; on paper a line on every page says what comes first."""
    return _STYLE.replace("FOOT", foot()) + DRAWING


_STYLE = """
:root { color-scheme: light dark; --ink: #111; --paper: #fff; --line: #666; --soft: #f0f0f0; --link: #0b4f8a;
  --edge: #0007; }
@media (prefers-color-scheme: dark) {
  :root { --ink: #eee; --paper: #181818; --line: #999; --soft: #2a2a2a; --link: #9cc9f5; --edge: #fff9; }
}
* { box-sizing: border-box; }
body { font: 16px/1.45 system-ui, "DejaVu Sans", "Liberation Sans", Arial, sans-serif; color: var(--ink);
  background: var(--paper); max-width: 960px; margin: 0 auto; padding: 12px; }
h1 { font-size: 1.6em; line-height: 1.2; margin: .2em 0; }
h2 { font-size: 1.3em; margin: 1.4em 0 .4em; border-bottom: 2px solid var(--line); }
h3 { font-size: 1.1em; margin: .2em 0 .5em; }
a { color: var(--link); }
.verdict { border: 2px solid currentColor; padding: 0 .4em; border-radius: .2em; }
.caution, footer { font-weight: 700; font-size: .92em; }
footer { border-top: 2px solid var(--line); margin-top: 2em; }
nav ul { list-style: none; display: flex; flex-wrap: wrap; gap: 2px 16px; padding: 0; margin: .4em 0; }
nav a { display: inline-block; padding: 4px 0; }
article { border: 2px solid var(--line); border-radius: 6px; padding: 10px; margin: 12px 0; }
.drawn { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(300px, 100%), 1fr)); gap: 8px; }
figure { margin: 0 0 8px; }
figure svg { display: block; width: 100%; height: auto; border-radius: 4px; }
.drawn figure { max-width: 460px; }
figcaption ul { list-style: none; margin: 4px 0; padding: 0; font-size: .88em; line-height: 1.35; }
figcaption li { padding-left: 1.2em; text-indent: -1.2em; }
.who { font-weight: 700; margin: .2em 0 .6em; }
/* a shadow at an edge says that more is to be had there */
.wide { overflow-x: auto; background:
  linear-gradient(to right, var(--paper) 40%, transparent) left / 40px 100% no-repeat local,
  linear-gradient(to left, var(--paper) 40%, transparent) right / 40px 100% no-repeat local,
  linear-gradient(to right, var(--edge), transparent) left / 14px 100% no-repeat scroll,
  linear-gradient(to left, var(--edge), transparent) right / 14px 100% no-repeat scroll; }
table { border-collapse: collapse; }
caption { text-align: left; font-size: .85em; padding-bottom: 2px; }
th, td { text-align: left; vertical-align: top; padding: 3px 10px 3px 0; border-bottom: 1px solid var(--line); }
.sum td:last-child { text-align: right; padding-left: 10px; white-space: nowrap; }
.sum tr:last-child > * { font-weight: 700; }
.repairs > li { border-top: 1px solid var(--line); padding: 6px 0; }
.repairs p { margin: .3em 0; }
code { font: .92em ui-monospace, "DejaVu Sans Mono", monospace; overflow-wrap: anywhere; }
.several { border-top: 6px double var(--line); margin-top: 2em; }
.several h3 { margin-top: 1.3em; border-bottom: 1px solid var(--line); }
.day { white-space: nowrap; }
.timeline svg { background: #fff; color: #000; }
.timeline .narrow { display: none; max-width: 520px; }
td ul { padding-left: 1.1em; min-width: 14em; }
pre { white-space: pre-wrap; overflow-wrap: anywhere; font: .85em/1.4 ui-monospace, "DejaVu Sans Mono", monospace;
  background: var(--soft); padding: 8px; border-radius: 4px; }
summary { cursor: pointer; padding: 4px 0; }
.fields { display: flex; flex-wrap: wrap; gap: 8px 16px; margin-bottom: 8px; }
.fields label { display: flex; gap: 6px; align-items: center; }
select, button { font: inherit; padding: 4px 8px; min-height: 32px; color: var(--ink); background: var(--soft);
  border: 1px solid var(--line); border-radius: 4px; }
:focus-visible { outline: 3px solid var(--link); outline-offset: 2px; }
[hidden] { display: none; }
.on-paper { display: none; }
@media screen and (max-width: 760px) {
  .timeline .broad { display: none; }
  .timeline .narrow { display: block; }
}
@media screen and (max-width: 480px) {
  .stack, .stack tbody, .stack caption, .stack tr, .stack th, .stack td { display: block; padding-right: 0; }
  .stack thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  .stack tr { border-bottom: 2px solid var(--line); padding: 4px 0; }
  .stack th, .stack td { border: 0; padding: 2px 0; overflow-wrap: anywhere; }
  .stack td::before { content: attr(data-head) ": "; font-size: .92em; opacity: .85; }
  .stack td:empty { display: none; }
  .stack td details { display: inline-block; vertical-align: top; }
  .stack td summary { padding: 1px 0; }
  .stack td ul { min-width: 0; }
}
@media print {
  :root { --ink: #000; --paper: #fff; --line: #666; --soft: #fff; --link: #000; color-scheme: light; }
  @page { margin: 12mm 12mm 14mm;
    @bottom-left { content: "FOOT"; font: 7pt sans-serif; }
    @bottom-right { content: counter(page) " / " counter(pages); font: 7pt sans-serif; } }
  body { font-size: 9.5pt; line-height: 1.35; max-width: none; padding: 0; }
  .on-paper { display: block; }
  .choose, .on-screen, body > nav, .several > nav, .best > nav { display: none; }
  /* what is meant for paper is printed open; what else is closed is left out, with a section that has nothing else */
  details.paper::details-content { content-visibility: visible; display: block; height: auto; }
  details:not(.paper):not([open]), section:has(> details:not([open])):is(.all, .why) { display: none; }
  .grid td details:not(.paper):not([open]) { display: block; }
  summary { list-style: none; font-weight: 700; padding: 2px 0 0; break-after: avoid; }
  summary::-webkit-details-marker { display: none; }
  td summary { font-weight: 400; padding: 0; }
  figure svg, tr, li, .repairs > li > p { break-inside: avoid; }
  figcaption { break-before: avoid; }
  .repairs > li { break-inside: auto; }
  h1, h2, h3, h4, caption, thead { break-after: avoid; break-inside: avoid; }
  h2 { margin-top: 1em; }
  article { border: 0; border-top: 2px solid var(--line); border-radius: 0; padding: 6px 0 0; margin: 10px 0; }
  article table { break-inside: avoid; }
  .who, .who + p:has(+ .drawn) { break-after: avoid; }
  p, ul, ol { margin: .35em 0; orphans: 2; widows: 2; }
  /* nothing scrolls on paper: every column has to find room */
  .wide { overflow: visible; }
  table { width: 100%; }
  th, td { overflow-wrap: break-word; padding-right: 8px; }
  td ul { min-width: 0; padding-left: 1em; }
  .many { font-size: .82em; }
  .many th, .many td { overflow-wrap: anywhere; padding-right: 5px; }
  .many th:first-child { min-width: 6em; }
  .sum { width: auto; }
  .drawn { grid-template-columns: 1fr 1fr; }
  .drawn figure { max-width: 88mm; }
}
"""
