"""Which parties each type of vehicle carries, as a table and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from seatplan.app.fleet.coverage import Covered
from seatplan.fleet.coverage import Group
from seatplan.views.ages import age
from seatplan.views.caution import caution
from seatplan.views.content import Heading, Paragraph, Table
from seatplan.views.failure_json import head_json
from seatplan.views.say import Words, t
from seatplan.views.terminal import parts_of

from .match_json import reading_json, way_json
from .parties import kit_said

SAYS = Words({"carried": "yes", "by reading": "by a reading", "ends": "ask the age", "try": "try it", "asks": "measure",
              "no": "no", "failed": "not matched"})


def parties_in(found: Covered) -> list[tuple[int, ...]]:
    """The parties of the grid in their order."""
    return list(dict.fromkeys(cell.children for cell in found.coverage.cells))


def children_said(groups: Sequence[Group], children: tuple[int, ...]) -> str:
    """``1 of 0 to 11 months, 2 of 3 to 5 years``."""
    return ", ".join(f"{n} x {_ages(group)}" for n, group in zip(children, groups, strict=True) if n)


def _ages(group: Group) -> str:
    low, high = group.months
    if low < 12:
        return t("up to {age}", age=age(high))
    return t("{low} to {high} years", low=low // 12, high=high // 12)


def coverage_text(found: Covered) -> str:
    """The table."""
    cells = {(one.vehicle_type, one.children): one for one in found.coverage.cells}
    types = [one.vehicle.key() for one in found.read.fleet.types]
    rows = []
    for party in parties_in(found):
        told = []
        for one in types:
            cell = cells[one, party]
            told.append(SAYS[cell.says] + (f": {kit_said(cell.way.kit, found.read)}"
                                           if cell.says == "carried" and cell.way is not None else ""))
        rows.append((children_said(found.coverage.groups, party), *told))
    about = (t("Of children of a middle age and size of their group (growth tables), nobody else beside the driver.")
             if found.coverage.usual else
             t("Of any children of their groups, of whom nothing else is known, nobody else beside the driver."))
    return parts_of([
        Heading(t("{fleet}, {day}: which parties each type carries", fleet=found.read.fleet.fleet, day=found.day)),
        Paragraph(about),
        Table((t("children"), *(found.read.type_name(one) for one in types)), tuple(rows), splits=True),
        Paragraph(t("Behind a yes stand the restraints of the best way. Measure, try it and ask the age are no yes: "
                    "nobody is served so before it is done.")), caution()])


def coverage_json(found: Covered) -> dict[str, Any]:
    """All of the grid."""
    return {
        **head_json("fleet-coverage"), "fleet": found.read.fleet.fleet, "on": found.day,
        "rules": found.read.profile.name, "usual": found.coverage.usual,
        "age_groups_months": [list(group.months) for group in found.coverage.groups],
        "cells": [{"type": found.read.type_name(one.vehicle_type), "children": list(one.children), "says": one.says,
                   "way": None if one.way is None else way_json(one.way, found.read),
                   "readings": [reading_json(each) for each in one.readings]} for one in found.coverage.cells],
    }
