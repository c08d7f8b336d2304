"""Blocks as elements of a page: real headings, lists and tables; what can be typed is marked as code."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any
from xml.etree.ElementTree import Element

from seatplan.frozen import frozen
from seatplan.solver.picture import picture

from .content import (
    Bars,
    Blank,
    Block,
    Figure,
    Group,
    Heading,
    Items,
    Paragraph,
    Side,
    Sum,
    Table,
    Text,
    Timeline,
    ToCopy,
    Typed,
    below,
)
from .markup import el
from .outlook_chart import chart
from .say import t
from .svg.figures import row_figures

#: a table of more columns has smaller letters on paper
_MANY = 7
_ROLES = {"table": "table", "thead": "rowgroup", "tbody": "rowgroup", "tr": "row", "td": "cell"}
_HEADS = {"col": "columnheader", "row": "rowheader"}


@frozen
class Place:
    """Where blocks stand on a page: the tag of headings there (none: a line in bold), and what tells labels and ids
    from those of other places. ``fills``: what stands for something to fill in, where a form takes it."""

    heading: str = ""
    named: str = ""
    prefix: str = "drawn"
    fills: Callable[[Blank], Element] | None = None


def elements(blocks: Sequence[Block | None], place: Place = Place()) -> list[Element]:
    """Blocks one below the other."""
    return [one for block in blocks if block is not None for one in _shown(block, place)]


def inline(text: Text) -> list[Element | str]:
    """The pieces of a paragraph."""
    if isinstance(text, str):
        return [text]
    return [el("code", piece) if isinstance(piece, Typed) else piece for piece in text]


def _shown(block: Block, place: Place) -> list[Element]:
    return _SHOWN[type(block)](block, place)


def _heading(block: Heading, place: Place) -> list[Element]:
    told = inline(block.text)
    return [el(place.heading, told) if place.heading else el("p", el("strong", told))]


def _items(block: Items, place: Place) -> list[Element]:
    return [el("ol" if block.numbered else "ul", [_entry(entry, place) for entry in block.entries])]


def _table(block: Table, place: Place) -> list[Element]:
    return [wide(f"{block.caption}{place.named}", table(block.head, [_row(row) for row in block.rows], block.caption))]


def _figure(block: Figure, place: Place) -> list[Element]:
    seen = picture(block.plan, block.arrangement)
    return [el("div", row_figures(block.plan, block.arrangement, seen.rows, seen, place.prefix), class_="drawn")]


def _entry(entry: Text | Block, place: Place) -> Element:
    return el("li", inline(entry) if isinstance(entry, str | tuple) else _shown(entry, place))


def _to_fill_in(block: Blank, place: Place) -> list[Element]:
    if place.fills is not None:
        return [place.fills(block)]
    return [el("p", el("label", f"{block.label} ", el("input", type="text"))), *elements([below(block)], place)]


def _row(cells: Sequence[str]) -> Element:
    first, *rest = cells
    head = el("th", first, scope="row") if first else el("td", "")
    return el("tr", head, [el("td", cell) for cell in rest])


def _sum(block: Sum, place: Place) -> list[Element]:
    last = el("tr", el("th", block.outcome, scope="row"), el("td", ""), el("td", block.difference))
    made = el("table", el("caption", block.about) if block.about else None,
              el("tbody", [row for side in block.sides for row in _side(side)], last), class_="sum")
    return [wide(f"{block.about}{place.named}", made) if block.about else made]


def _side(side: Side) -> list[Element]:
    """The rows of one side: a length each, the total last."""
    rows = [el("tr", el("td", label), el("td", value)) for label, value in (*side.lengths, ("=", side.total))]
    rows[0].insert(0, el("th", side.word, scope="row", rowspan=len(rows)))
    return rows


def _bars(block: Bars, place: Place) -> list[Element]:
    """A table with a bar in each row; the length stands beside it."""
    rows = [el("tr", el("th", label, scope="row"), el("td", el("meter", told, value=value, max=block.longest)),
               el("td", told)) for label, value, told in block.rows]
    return [el("table", el("caption", block.head), el("tbody", rows), class_="bars")]


def wide(label: str, table: Element) -> Element:
    """A table that scrolls by itself where the page is narrow; it can be reached with the keyboard."""
    return el("div", table, class_="wide", role="region", aria_label=t("Table: {label}", label=label), tabindex=0)


def table(head: Sequence[str], rows: Sequence[Element], caption: str, *, stacks: bool = True) -> Element:
    """A table with a caption and heads that say what they are for. On a narrow screen it ``stacks``: a line for each
    cell, which begins with its head. One whose head is all empty has none."""
    made = el("table", el("caption", caption) if caption else None,
              el("thead", el("tr", [el("th", word, scope="col") for word in head])) if any(head) else None,
              el("tbody", rows))
    kinds = [kind for kind, holds in (("stack", stacks), ("many", len(head) > _MANY)) if holds]
    if kinds:
        made.set("class", " ".join(kinds))
    if stacks and any(head):
        _stacked(made, head, rows)
    return made


def _stacked(made: Element, head: Sequence[str], rows: Sequence[Element]) -> None:
    for row in rows:
        for word, cell in zip(head[len(head) - len(row):], row, strict=True):   # a head may span several rows
            if cell.tag == "td":
                cell.set("data-head", word)
    for part in made.iter():                         # shown as blocks it would be no table to some screen readers
        role = _HEADS.get(part.get("scope", "")) or _ROLES.get(part.tag)
        if role:
            part.set("role", role)


_SHOWN: dict[type, Callable[[Any, Place], list[Element]]] = {
    Heading: _heading,
    Paragraph: lambda block, place: [el("p", inline(block.text))],
    Items: _items,
    Table: _table,
    Sum: _sum,
    Blank: _to_fill_in,
    Bars: _bars,
    Timeline: lambda block, place: [el("pre", chart(block.outlook, block.way))],
    ToCopy: lambda block, place: [el("pre", "\n".join(block.lines))],
    Figure: _figure,
    Group: lambda block, place: elements(block.blocks, place),
}
