"""Drawings of the bundled trips, read back with ElementTree as any other program would read them."""

from __future__ import annotations

from functools import cache
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from planned import planned

from seatplan.solver.picture import Picture, picture
from seatplan.views.svg.plan import plan_svg

NS = "{http://www.w3.org/2000/svg}"


@cache
def pictured(name: str) -> Picture:
    plan = planned(name)
    return picture(plan, plan.arrangements[0])


@cache
def drawn(name: str, paper: bool = False) -> Element:
    plan = planned(name)
    return ElementTree.fromstring(plan_svg(plan, plan.arrangements[0], pictured(name), paper=paper))


def row_group(root: Element, row: int) -> Element:
    return next(group for group in root.iter(f"{NS}g") if group.get("data-row") == str(row))


def edges(element: Element) -> tuple[float, float]:
    """Left and right end of a rectangle."""
    left = float(element.get("x", "nan"))
    return left, left + float(element.get("width", "nan"))
