"""What a car has of its own is drawn where it was measured: raised seats, consoles, the roof."""

from __future__ import annotations

import re
from functools import cache
from typing import Any
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

import pytest
from drawn import NS, edges
from planned import DAY

from seatplan.files.load import load_trip
from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.solver.picture import picture
from seatplan.solver.plan import plan
from seatplan.views.svg.plan import plan_svg


@cache
def _whole(up: int) -> tuple[Element, Any]:
    """The tall driver's car with a console, a roof and a seat behind the driver that lies ``up`` higher, if 0 as it
    is."""
    trip = load_trip("tall-driver")
    data = trip.data()
    row = next(row for row in data["vehicle"]["rows"] if row["row"] == 2)
    row["roof"] = [[0, 900], [600, 860]]
    row["consoles"] = [{"name": "tunnel", "across": [640, 720], "along": [500, 700], "up": [-330, -250]}]
    for position in row["positions"]:
        position.setdefault("width", 400)
        if up:
            position["cushion"] = {"up": up, "length": 450}
    changed = Trip.model_validate(data)
    found = plan(changed, load_profile(changed.rules), DAY, top=1)
    seen = picture(found, found.arrangements[0])
    return ElementTree.fromstring(plan_svg(found, found.arrangements[0], seen)), seen


def _with(root: Element, name: str) -> list[Element]:
    return [element for element in root.iter() if element.get(name) is not None]


def test_a_console_is_drawn_where_it_stands() -> None:
    root, _ = _whole(0)
    [console] = [element for element in _with(root, "data-console") if element.tag == f"{NS}rect"]
    assert console.get("data-console") == "tunnel"
    assert edges(console) == (640, 720)
    assert (float(console.get("y", "nan")), float(console.get("height", "nan"))) == (-700, 200)


def test_a_cushion_of_its_own_is_drawn_beside_the_row() -> None:
    assert _with(_whole(0)[0], "data-cushion") == []
    own = {element.get("data-cushion"): element for element in _with(_whole(30)[0], "data-cushion")}
    assert own
    for element in own.values():
        left, right = edges(element)
        assert right - left == pytest.approx(400, abs=120)
        assert (element.get("data-up"), float(element.get("height", "nan"))) == ("30", 450)


def test_a_shell_is_drawn_from_the_side_on_its_own_cushion() -> None:
    """Its outline from the side stands as it does in a row without raised seats."""
    plain, raised = _whole(0)[1].sides[0], _whole(30)[1].sides[0]
    assert [part.outline for part in plain.body.parts] == [part.outline for part in raised.body.parts]


@pytest.mark.parametrize("up", [0, 30])
def test_the_roof_is_drawn_above_a_shell(up: int) -> None:
    """From its own cushion, straight between what was measured and level beyond."""
    [line] = [element for element in _with(_whole(up)[0], "data-what") if element.get("data-what") == "roof"]
    numbers = [float(one) for one in re.findall(r"-?[0-9.]+", line.get("d", ""))]
    points = list(zip(numbers[::2], numbers[1::2], strict=True))
    assert {(0.0, up - 900.0), (600.0, up - 860.0)} <= set(points)
    assert (points[0][1], points[-1][1]) == (up - 900.0, up - 860.0)
