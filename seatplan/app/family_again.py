"""A family that is known already, in another car: its riders and restraints stay, what was of the old car goes."""

from __future__ import annotations

from collections.abc import Iterator

from .filling import Fill, filled, standing

#: what a trip says of its car, of what is in it, and of what was tried there
_OF_THE_CAR = ("installed", "current", "arrived", "under_way", "tried", "front", "airbags_off")
#: wishes that name a seat of the car
_SEATS = ("at", "not_at")


def in_another_car(text: str, name: str, car: str) -> str:
    """The text of a trip as one in another car. ``car``: how the trip names it. Nothing that was true of the old car
    goes along: it would count as looked at. Raises InputError."""
    return filled("trip", text, name, _fills(text, name, car))


def _fills(text: str, name: str, car: str) -> Iterator[Fill]:
    data = standing("trip", text, name)
    yield Fill(("vehicle",), car)
    for key in _OF_THE_CAR:
        if key in data:
            yield Fill((key,), None)
    for k, rider in enumerate(data.get("riders") or ()):
        if isinstance(rider, dict) and "belt_fit" in rider:
            yield Fill(("riders", k, "belt_fit"), None)
    wishes = data.get("wishes") or []
    of_seats = [k for k, wish in enumerate(wishes) if isinstance(wish, dict) and any(key in wish for key in _SEATS)]
    if wishes and len(of_seats) == len(wishes):
        yield Fill(("wishes",), None)
        return
    for k in reversed(of_seats):
        yield Fill(("wishes", k), None)
