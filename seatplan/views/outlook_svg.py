"""Time as an SVG drawing for a report: one bar a child, one box a mode, hatched where to measure again first."""

from __future__ import annotations

from datetime import date
from html import escape

from seatplan.frozen import frozen
from seatplan.growth.outlook import Outlook, Way

from .outlook_chart import LETTERS, Span, children, spans
from .say import t
from .words import SHORT_MODES


@frozen
class _Layout:
    """Where things stand: names beside the bars, or above them where ``margin`` has no room for them."""

    width: int
    margin: int
    right: int
    name: int                         # height of a line with the name above each bar; 0: it stands beside it
    top: int = 44
    bar: int = 26
    gap: int = 14

    @property
    def step(self) -> int:
        return self.name + self.bar + self.gap

    def x(self, outlook: Outlook, day: date) -> float:
        total = (outlook.end - outlook.start).days + 1
        return self.margin + (self.width - self.margin - self.right) * (day - outlook.start).days / total


#: for a page, and for a phone
_BROAD, _NARROW = _Layout(900, 110, 20, 0), _Layout(340, 14, 14, 18)
#: about the width of a letter, where a label must fit into a box
_LETTER = 7
#: told apart by words and letters as well, so that no colour is needed
_FILLS = {"r": "#2f6f9f", "l": "#2f6f9f", "f": "#5b9a68", "v": "#5b9a68", "b": "#c99a3c", "c": "#b9763a",
          "a": "#8a8a8a"}


def outlook_svg(outlook: Outlook, way: Way | None = None, ident: str = "outlook", *, narrow: bool = False) -> str:
    """The drawing of one way (the protective one unless given), with title and description.

    ``ident`` begins the ids inside, which must differ where several drawings share a page. ``narrow``: for a phone,
    where letters would be too small in the broad one.
    """
    way, lay = way or outlook.protection, _NARROW if narrow else _BROAD
    names = children(outlook)
    height = lay.top + len(names) * lay.step + 34
    told = [f"{name}: " + "; ".join(_spoken(span) for span in spans(outlook, way, name)) for name in names]
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {lay.width} {height}" role="img" '
        f'aria-labelledby="{escape(ident)}-title {escape(ident)}-desc" font-family="sans-serif" font-size="13" '
        'fill="currentColor">',
        f'<title id="{escape(ident)}-title">{escape(t("{trip}: how long it lasts", trip=outlook.trip.trip))}</title>',
        f'<desc id="{escape(ident)}-desc">{escape(". ".join(told))}.</desc>',
        f'<defs><pattern id="{escape(ident)}-measure" width="8" height="8" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate(45)"><rect width="3" height="8" fill="#fff" fill-opacity="0.65"/></pattern></defs>',
    ]
    parts += _years(outlook, lay, height)
    for n, name in enumerate(names):
        top = lay.top + n * lay.step + lay.name
        parts.append(f'<text x="{lay.margin}" y="{top - 5}">{escape(name)}</text>' if lay.name else
                     f'<text x="{lay.margin - 8}" y="{top + lay.bar - 8}" text-anchor="end">{escape(name)}</text>')
        for span in spans(outlook, way, name):
            parts += _box(outlook, lay, span, top, ident)
    for n, step in enumerate(way.steps, 1):
        x = lay.x(outlook, step.leg.first)
        parts.append(f'<path d="M{x:.1f} {lay.top - 4}V{height - 26}" stroke="currentColor" '
                     'stroke-dasharray="2 3"/>'
                     f'<text x="{x:.1f}" y="{height - 10}">{n}</text>')
    return "\n".join([*parts, "</svg>"]) + "\n"


def _years(outlook: Outlook, lay: _Layout, height: int) -> list[str]:
    days = [date(year, 1, 1) for year in range(outlook.start.year + 1, outlook.end.year + 1)]
    return [f'<path d="M{lay.x(outlook, day):.1f} 24V{height - 26}" stroke="#bbb"/>'
            f'<text x="{lay.x(outlook, day):.1f}" y="18" text-anchor="middle">{day.year}</text>' for day in days]


def _box(outlook: Outlook, lay: _Layout, span: Span, top: int, ident: str) -> list[str]:
    left, right = lay.x(outlook, span.first), lay.x(outlook, date.fromordinal(span.last.toordinal() + 1))
    told = f"<title>{escape(_spoken(span))}</title>"
    size = f'x="{left:.1f}" y="{top}" width="{max(1.0, right - left):.1f}" height="{lay.bar}"'
    if span.mode is None:
        empty = f'<rect {size} fill="none" stroke="currentColor" stroke-dasharray="4 3">{told}</rect>'
        return [empty] if span.born else []
    fill = _FILLS[LETTERS[span.mode]]
    parts = [f'<rect {size} fill="{fill}">{told}</rect>']
    if span.unsure:
        parts.append(f'<rect {size} fill="url(#{escape(ident)}-measure)">{told}</rect>')
    mode = SHORT_MODES[span.mode]
    labels = (f"{span.restraint}, {mode}", span.restraint) if span.restraint else (mode,)
    label = next((label for label in labels if right - left > _LETTER * len(label) + 8), "")
    if label:
        # black with a white rim can be read on every colour and on the hatch
        parts.append(f'<text x="{left + 5:.1f}" y="{top + lay.bar - 8}" fill="#000" stroke="#fff" stroke-width="3" '
                     f'paint-order="stroke">{escape(label)}</text>')
    return parts


def _spoken(span: Span) -> str:
    if span.mode is None:
        told = t("nothing at hand works") if span.born else t("not born yet")
    else:
        held = f"{span.restraint}, " if span.restraint else ""
        told = f"{held}{SHORT_MODES[span.mode]}{t(', measure again first') if span.unsure else ''}"
    return t("{first} to {last} {told}", first=span.first, last=span.last, told=told)
