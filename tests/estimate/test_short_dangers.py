"""A first answer without one of its answers is not likely any more, where that is printed, or cannot be guessed."""

from __future__ import annotations

from copy import deepcopy
from functools import cache
from typing import Any

import pytest
import yaml

from seatplan import arrange
from seatplan.files.library import find
from seatplan.files.reading import YAML_LOADER

Step = str | int


@cache
def _read(kind: Any, name: str) -> dict[str, Any]:
    found: dict[str, Any] = yaml.load(find(kind, name).read_text(encoding="utf-8"), Loader=YAML_LOADER)
    return found


def _trip() -> dict[str, Any]:
    said = deepcopy(_read("trip", "first-answer-roomy"))
    return {**{"on" if key is True else key: value for key, value in said.items()},     # `on` is a word of YAML 1.1
            "vehicle": deepcopy(_read("vehicle", "broadmere-tall"))}


def _without(trip: dict[str, Any], path: tuple[Step, ...]) -> dict[str, Any]:
    held: Any = trip
    for step in path[:-1]:
        held = held[step]
    del held[path[-1]]
    return trip


def _verdict(trip: dict[str, Any]) -> str:
    return arrange(trip).verdict


def test_with_all_its_answers_it_is_likely() -> None:
    assert _verdict(_trip()) == "likely"


@pytest.mark.parametrize("path", [
    *[("restraints", k, "in_order") for k in range(3)],
    ("restraints", 0, "limits"), ("restraints", 0, "limits", "mass"),
    ("restraints", 0, "level_adjusts"), ("restraints", 0, "support_leg"), ("restraints", 1, "support_leg"),
    ("restraints", 1, "limits"), ("restraints", 1, "limits", "on_lower_anchors"),
    ("restraints", 1, "limits", "forward_facing"), ("restraints", 2, "limits"), ("restraints", 2, "kind"),
    ("riders", 2, "sits_upright"),
    ("vehicle", "not_measured"), ("vehicle", "every_seat", "forbids"), ("vehicle", "every_seat", "belt"),
    ("vehicle", "every_seat", "inflatable"), ("vehicle", "every_seat", "forward_and_fixed"),
    ("vehicle", "rows", 1, "trim"),
    *[("vehicle", "rows", 1, "positions", k, "ahead") for k in (0, 2)],
], ids=lambda path: ".".join(map(str, path)))
def test_without_one_of_them_it_is_not(path: tuple[Step, ...]) -> None:
    from seatplan import InputError

    try:
        verdict = _verdict(_without(_trip(), path))
    except InputError:
        return                                    # a restraint of no kind must name its modes
    assert verdict in ("unmeasured", "rejected")


@pytest.mark.parametrize(("path", "value"), [
    (("vehicle", "every_seat", "inflatable"), True),
    (("restraints", 1, "limits", "forward_facing", "mass"), "9-14 kg"),
    (("riders", 1, "born"), "2026-01-02"), (("riders", 0, "mass"), "15 kg"), (("riders", 2, "sits_upright"), False),
    (("vehicle", "rows", 1, "trim", 0, "right"), 1240),
], ids=lambda value: str(value)[:40])
def test_with_a_dangerous_answer_it_is_not(path: tuple[Step, ...], value: object) -> None:
    trip: Any = _trip()
    held = trip
    for step in path[:-1]:
        held = held[step]
    held[path[-1]] = value
    assert _verdict(trip) not in ("fits", "close", "likely")


def test_ages_alone_never_fit() -> None:
    """A booking knows ages only."""
    trip = _trip()
    for rider in trip["riders"]:
        for name in ("mass", "height"):
            del rider[name]
    assert _verdict(trip) in ("likely", "unmeasured", "rejected")
    trip["riders"][2]["age"] = ["6y", "8y"]
    del trip["riders"][2]["born"]
    assert _verdict(trip) in ("likely", "unmeasured", "rejected")


def test_a_body_alone_rules_out_a_seat_of_a_kind() -> None:
    """Even the heaviest of a hundred babies of six months is too light for 18 kg and more."""
    trip = _trip()
    trip["riders"] = [{"rider": "Una", "age": "6 months"}]
    trip["restraints"] = [trip["restraints"][2]]
    assert _verdict(trip) == "rejected"


@pytest.mark.parametrize("width", ["25 cm", "4.4 cm", "44 in"])
def test_a_width_that_no_restraint_has_counts_as_unknown(width: str) -> None:
    trip = _trip()
    trip["restraints"][0]["width"] = width
    assert _verdict(trip) == "unmeasured"
