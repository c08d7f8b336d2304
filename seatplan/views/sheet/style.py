"""How the sheet looks on a page and on a phone. Nothing is loaded; black on white, on screen as well as on paper."""

from __future__ import annotations

from seatplan.views.caution import foot
from seatplan.views.svg.ink import STYLE as DRAWING

#: paper -> its height, mm; margins are 10 mm
PAPERS = {"a4": 297, "letter": 279}
#: of the height of a page with two drawings, what the rest takes, mm
_BESIDE = 241


def style(paper: str) -> str:
    """The style sheet for a paper, ``a4`` or ``letter``."""
    return _STYLE.replace("PAPER", "A4" if paper == "a4" else "letter").replace("FOOT", foot()).replace(
        "SIDE", f"{PAPERS[paper] - _BESIDE}mm") + DRAWING


_STYLE = """
@page { size: PAPER portrait; margin: 10mm 11mm;
  @bottom-center { content: "FOOT";
    font: 6.5pt sans-serif; } }
* { box-sizing: border-box; }
html { background: #fff; color: #000; }
body { font: 15px/1.35 system-ui, "DejaVu Sans", "Liberation Sans", Arial, sans-serif; margin: 0 auto;
  max-width: 190mm; padding: 12px; }
h1 { font-size: 1.5em; line-height: 1.2; margin: 0 0 .2em; }
h2 { font-size: 1.4em; line-height: 1.2; margin: 0 0 .3em; }
h3, .front h2 { font-size: 1.05em; margin: .55em 0 .15em; border-bottom: 2px solid #000; }
p { margin: .3em 0; }
ol, ul { margin: .2em 0; padding-left: 1.5em; }
section { padding: 10px 0 24px; border-bottom: 6px double #000; }
section:last-of-type { border-bottom: 0; }
.seat { display: inline-block; background: #000; color: #fff; padding: 0 .35em; border-radius: .2em; }
.top { display: flex; flex-wrap: wrap; gap: 8px 18px; align-items: flex-start; }
.facts { flex: 1 1 250px; display: grid; grid-template-columns: max-content 1fr; gap: 2px 10px; margin: 0;
  align-content: start; }
.facts dt { font-weight: 700; }
.facts dd { margin: 0; }
@media (min-width: 560px) { .facts.wide { flex-basis: 100%; grid-template-columns: max-content 1fr max-content 1fr; } }
figure { margin: 0; max-width: 100%; }
figcaption ul { list-style: none; padding: 0; font-size: .84em; line-height: 1.25; }
figcaption li { padding-left: 1.2em; text-indent: -1.2em; }
.rows { display: flex; flex-wrap: wrap; gap: 6px 8mm; }
.drawn { flex: 1 1 330px; max-width: 100%; display: flex; flex-wrap: wrap; gap: 6px 12px; }
.drawn.wide { flex-basis: 100%; }
.drawn figure { flex: 1 1 300px; max-width: 520px; }
svg { display: block; width: 100%; height: auto; }
.steps { list-style: none; padding: 0; }
.steps > li { display: flex; flex-wrap: wrap; gap: 2px 8px; align-items: baseline; break-inside: avoid;
  padding: 2px 0; border-bottom: 1px solid #bbb; }
.steps label.do { flex: 1 1 260px; display: flex; gap: 8px; align-items: baseline; }
input[type=checkbox] { flex: none; width: 1.15em; height: 1.15em; margin: 0; position: relative; top: .2em;
  accent-color: #000; }
.boxes { display: flex; flex-wrap: wrap; gap: 2px 12px; }
.steps .boxes { padding-left: 1.9em; }
.boxes.several { flex-basis: 100%; }
.asked { white-space: nowrap; font-size: .85em; color: #444; }
input[type=text] { font: inherit; border: 0; border-bottom: 2px solid #000; border-radius: 0; width: 4.5em;
  padding: 0 2px; background: #fff; color: #000; }
input.long { width: 15em; max-width: 100%; }
.failing code { font: .9em ui-monospace, "DejaVu Sans Mono", monospace; overflow-wrap: anywhere; }
.lasts { margin: .4em 0; }
.source { font-size: .78em; color: #444; }
.check { border: 3px solid #000; padding: 4px 8px; margin: 8px 0; break-inside: avoid; }
.check strong { font-size: 1.05em; }
.check ul { list-style: none; padding: 0; }
.check label { display: flex; gap: 8px; align-items: baseline; padding: 1px 0; }
.pages { display: flex; flex-wrap: wrap; gap: 4px 24px; margin-top: .6em; }
.signed { display: flex; flex-wrap: wrap; gap: 4px 24px; margin-top: .9em; }
.caution { margin-top: .8em; padding-top: .3em; border-top: 2px solid #000; font-weight: 700; font-size: .92em; }
@media print {
  body { font-size: 8.3pt; line-height: 1.25; max-width: none; padding: 0; }
  section { break-after: page; break-inside: avoid; padding: 0; border: 0; }
  section:last-of-type { break-after: auto; }
  .seat { background: none; color: #000; border: 2px solid #000; }    /* backgrounds are mostly not printed */
  /* one drawing beside the facts, its gaps below these */
  .top:not(:has(.drawn.wide)) { display: grid; grid-template-columns: 1fr 82mm; grid-template-rows: auto 1fr; }
  .drawn:not(.wide), .drawn:not(.wide) figure { display: contents; }
  .drawn:not(.wide) svg { grid-column: 2; grid-row: 1 / 3; }
  .drawn:not(.wide) figcaption { grid-column: 1; grid-row: 2; }
  .drawn.wide { flex: 0 0 100%; }
  /* two drawings side by side, and the gaps across the page below both */
  .drawn.wide figure { display: contents; }
  .drawn.wide svg { flex: 0 0 calc(50% - 6px); width: calc(50% - 6px); max-height: SIDE; }
  .drawn.wide figcaption { flex: 0 0 100%; order: 1; }
  .drawn.wide figcaption li { display: inline; padding: 0 1.2em 0 0; }
  .pages { margin-top: .35em; }
  .signed { margin-top: .55em; }
  .caution { margin-top: .5em; }
  section:has(.drawn.wide) { font-size: 7.8pt; line-height: 1.2; }
  section.dense { font-size: 7.4pt; }
  .dense .drawn.wide svg { max-height: 38mm; }
  :has(.drawn.wide) > h2 { margin-bottom: .1em; }
  section:has(.drawn.wide) p { margin: .2em 0; }
  section:has(.drawn.wide) .steps > li { padding: 0; }
  .dense .check { margin: 3px 0; }
  .check ul { columns: 2; column-gap: 6mm; }
  .check li { break-inside: avoid; }
  .steps > li { padding: 1px 0; }
  .stages { columns: 2; column-gap: 7mm; column-rule: 1px solid #bbb; }
  .stages h3:first-child { margin-top: 0; }
  .steps label.do { flex-basis: 100%; }
  .boxes input { width: 3.4em; }
  .check { font-size: .94em; }
  .check, h3 { break-inside: avoid; }
  h3 { break-after: avoid; }
}
"""
