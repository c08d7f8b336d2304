"""How the report looks: light and dark, on a phone and on paper."""

from __future__ import annotations

from seatplan.views.svg.ink import STYLE as DRAWING

STYLE = """
:root { color-scheme: light dark; --ink: #111; --paper: #fff; --line: #666; --soft: #f0f0f0; --link: #0b4f8a; }
@media (prefers-color-scheme: dark) {
  :root { --ink: #eee; --paper: #181818; --line: #999; --soft: #2a2a2a; --link: #9cc9f5; }
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
figure { margin: 0 0 8px; display: flex; flex-wrap: wrap; gap: 8px; }
figure svg { flex: 1 1 300px; max-width: 460px; width: 100%; height: auto; border-radius: 4px; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; }
caption { text-align: left; font-size: .85em; padding-bottom: 2px; }
th, td { text-align: left; vertical-align: top; padding: 3px 10px 3px 0; border-bottom: 1px solid var(--line); }
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
@media print {
  :root { --ink: #000; --paper: #fff; --line: #666; --soft: #fff; --link: #000; }
  @page { margin: 12mm; }
  body { font-size: 9.5pt; max-width: none; padding: 0; }
  #choose, body > nav, #best > nav { display: none; }
  details::details-content { content-visibility: visible; display: block; height: auto; }
  article, tr, figure svg { break-inside: avoid; }
  h2, h3 { break-after: avoid; }
  figure svg { max-height: 90mm; }
}
""" + DRAWING
