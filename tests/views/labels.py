"""What stands where in a drawing, read from its elements: labels as boxes, lines, and what belongs to whom.

Nothing of the way labels are placed is used here, so that a mistake there cannot hide itself.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from shapely import LineString, Point, Polygon, STRtree, box, buffer
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from seatplan.views.svg.ink import Pen

#: capitals reach so far above the base line, and tails below it, of the height of the letters (from memory)
_ABOVE, _BELOW = 0.74, 0.2
_DIMENSIONS = {"line", "thin", "chain"}


@dataclass(frozen=True, slots=True)
class Seen:
    """Something drawn: a label (``said``), or else its kind; ``owner``: the rider whose body it is part of."""

    kind: str
    shape: BaseGeometry
    owner: str | None
    said: str = ""


def seen(panel: Element, pen: Pen) -> list[Seen]:
    """All of a panel."""
    found = list(_walk(panel, pen, 0.0, 0.0, None))
    grounds = [one.shape for one in found if one.kind == "ground"]
    # a label with a ground of its own is as large as that
    return [Seen(one.kind, next((ground for ground in grounds if ground.contains(one.shape)), one.shape), one.owner,
                 one.said) if one.kind == "label" else one for one in found if one.kind != "ground"]


def _walk(element: Element, pen: Pen, x: float, y: float, owner: str | None) -> Iterator[Seen]:
    moved = re.fullmatch(r"translate\(([-\d.]+) ([-\d.]+)\)", element.get("transform", ""))
    if moved is not None:
        x, y = x + float(moved[1]), y + float(moved[2])
    owner = element.get("data-rider") or owner
    for one in _of(element, pen, owner):
        yield Seen(one.kind, translate(one.shape, x, y), one.owner, one.said)
    for child in element:
        if child.tag != "defs":
            yield from _walk(child, pen, x, y, owner)


def _of(element: Element, pen: Pen, owner: str | None) -> Iterator[Seen]:
    kinds = set((element.get("class") or "").split())
    at = {name: float(element.get(name, "0")) for name in (
        "x", "y", "x1", "x2", "y1", "y2", "cx", "cy", "r", "width", "height", "font-size")
        if re.fullmatch(r"-?[\d.]+", element.get(name, "0"))}
    if element.tag == "text":
        size, said = at["font-size"], element.text or ""
        wide = pen.width(said, size, bold="bold" in kinds)
        left = at["x"] - {"middle": wide / 2, "end": wide}.get(element.get("text-anchor", ""), 0)
        yield Seen("label", box(left, at["y"] - _ABOVE * size, left + wide, at["y"] + _BELOW * size), owner, said)
    elif element.tag == "rect":
        shape = box(at["x"], at["y"], at["x"] + at["width"], at["y"] + at["height"])
        yield from _rect(element, kinds, shape, owner)
    elif element.tag == "circle":
        yield Seen("thing", Point(at["cx"], at["cy"]).buffer(at["r"]), owner)
    elif element.tag == "line":
        yield Seen("dimension", LineString([(at["x1"], at["y1"]), (at["x2"], at["y2"])]), owner)
    elif element.tag == "path":
        yield from _path(element, kinds, owner)


def _rect(element: Element, kinds: set[str], shape: Polygon, owner: str | None) -> Iterator[Seen]:
    if element.get("rx") == "10":
        yield Seen("ground", shape, owner)
    elif element.get("data-part"):
        yield Seen("part", shape, owner)
    elif element.get("data-wall") or element.get("data-hand") or kinds & {"solid", "hollow"}:
        yield Seen("thing", shape, owner)
    elif element.get("data-what") or element.get("data-free"):
        yield Seen("seat", shape, owner)


def _path(element: Element, kinds: set[str], owner: str | None) -> Iterator[Seen]:
    for points, closed in strokes(element.get("d", "")):
        if closed and element.get("data-part"):
            yield Seen("outline", Polygon(points), element.get("data-part"))
        elif closed and (element.get("data-what") or element.get("data-ahead")):
            yield Seen("outline", Polygon(points), element.get("data-what") or "ahead")
        elif closed and "body" not in kinds:
            yield Seen("dimension", Polygon(points), owner)         # the head of an arrow, a mark on the chain
        elif not closed:
            kind = "strap" if "strap" in kinds else "dimension" if kinds & _DIMENSIONS else "edge"
            yield Seen(kind, LineString(points), owner)


def strokes(d: str) -> Iterator[tuple[list[tuple[float, float]], bool]]:
    """The strokes of a path of straight lines, and whether each is closed."""
    points: list[tuple[float, float]] = []
    for command, held in re.findall(r"([MLHVvZ])([^MLHVvZ]*)", d):
        numbers = [float(number) for number in re.findall(r"-?[\d.]+(?:e[-+]?\d+)?", held)]
        if command == "M":
            if len(points) > 1:
                yield points, False
            points = [(numbers[0], numbers[1])]
        elif command == "Z":
            yield points, True
            points = []
        else:
            (x, y), first = points[-1], numbers[0]
            points.append({"L": (first, numbers[-1]), "H": (first, y), "V": (x, first), "v": (x, y + first)}[command])
    if len(points) > 1:
        yield points, False


def overlapping(found: list[Seen]) -> list[tuple[str, str]]:
    """Labels that stand over one another."""
    labels = [one for one in found if one.kind == "label"]
    return [(labels[i].said, labels[k].said) for i, k in _touching(labels, [one.shape for one in labels]) if i < k]


def crossed(found: list[Seen]) -> list[tuple[str, str]]:
    """Labels with a dimension, a strap, a thing or an edge of somebody else's below them, and what that is."""
    labels = [one for one in found if one.kind == "label"]
    others = [one for one in found if one.kind not in ("label", "seat")]
    shapes = [one.shape.exterior if one.kind == "outline" else one.shape for one in others]
    return [(labels[i].said, others[k].kind) for i, k in _touching(labels, shapes)
            if others[k].kind != "part" or others[k].owner != labels[i].owner]


def _touching(labels: list[Seen], others: list[BaseGeometry]) -> list[tuple[int, int]]:
    """Which label and which other thing: the thing reaches more than a mm into the label."""
    within = buffer([one.shape for one in labels], -1.0, join_style="mitre")
    return sorted(zip(*STRtree(others).query(within, predicate="intersects").tolist(), strict=True))
