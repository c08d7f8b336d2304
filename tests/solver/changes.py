"""The changes of a repair made to a trip's plain data, from what the plan's JSON says of them and nothing else."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from copy import deepcopy
from typing import Any

from plain import plain_of
from worlds import Data

from seatplan.model import Believed, Restraint, Trip

Json = Mapping[str, Any]
#: as a new restraint is: nothing happened to it
NEW = {"crash": "none", "recall": "none", "labels": "readable", "history": "known"}


def changed(trip: Trip, changes: list[Json], shelf: Mapping[str, Restraint]) -> Trip:
    """The trip with every change made."""
    data = plain_of(trip)
    for change in changes:
        _CHANGE[change["kind"]](data, change, shelf)
    return Believed.model_validate(data)


def _positions(data: Data) -> Iterator[Data]:
    for row in data["vehicle"]["rows"]:
        yield from row["positions"]


def _forward(data: Data, change: Json, shelf: Mapping[str, Restraint]) -> None:
    data["front"][change["position"]]["forward_at_most"] = change["to_mm"]


def _airbag(data: Data, change: Json, shelf: Mapping[str, Restraint]) -> None:
    data.setdefault("airbags_off", []).append(change["position"])


def _wish(data: Data, change: Json, shelf: Mapping[str, Restraint]) -> None:
    """Of the kind that the rule's name says, about these riders."""
    for wish in data["wishes"]:
        about = {
            "wish-for-seat-not-met": [wish.get("rider")] == change["riders"],
            "wish-to-be-apart-not-met": bool(wish.get("apart")) and set(change["riders"]) <= set(wish["apart"] or ()),
            "wish-to-be-together-not-met": bool(wish.get("together")),
        }[change["thing"]]
        if about:
            wish["must"] = False


def _bought(data: Data, change: Json, shelf: Mapping[str, Restraint]) -> None:
    model = plain_of(Believed.model_validate({**deepcopy(data), "restraints": [shelf[change["use"]]]}))["restraints"][0]
    data["restraints"].append({**model, "restraint": change["restraint"], "condition": NEW,
                               **({"made": data["on"]} if "on" in data else {})})


def _anchor(data: Data, change: Json, shelf: Mapping[str, Restraint]) -> None:
    for position in _positions(data):
        if position["position"] == change["position"]:
            position["tether"] = change["thing"]


def _narrow(data: Data, change: Json, shelf: Mapping[str, Restraint]) -> None:
    for restraint in data["restraints"]:
        if restraint["restraint"] == change["restraint"]:
            for mode in restraint["modes"]:
                for holder in (mode, *mode["installations"]):
                    for part in holder.get("parts", ()):
                        if "width" in part:
                            part["width"] = min(part["width"], change["to_mm"])


def _elsewhere(data: Data, change: Json, shelf: Mapping[str, Restraint]) -> None:
    gone = set(change["riders"])
    data["riders"] = [rider for rider in data["riders"] if rider["rider"] not in gone]
    data["wishes"] = [wish for wish in data["wishes"] if not gone & {
        wish.get("rider"), *wish.get("apart", ()), *wish.get("together", ())}]
    data["installed"] = {name: now for name, now in data["installed"].items() if name not in gone}


_CHANGE = {
    "sit-further-forward": _forward, "switch-airbag-off": _airbag, "drop-wish": _wish, "get-restraint": _bought,
    "fit-tether-anchor": _anchor, "get-narrower": _narrow, "ride-elsewhere": _elsewhere,
}
