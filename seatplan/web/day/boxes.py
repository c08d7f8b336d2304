"""The boxes of a screen at the car: each reading once, and what was typed into them as ``record`` takes it."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any
from xml.etree.ElementTree import Element

from seatplan.app.errors import Problem
from seatplan.model.steps import MeasuredBox
from seatplan.readings import READINGS
from seatplan.solver.installing import Card
from seatplan.views.manner import customary
from seatplan.views.markup import el
from seatplan.views.say import Words, length_unit, look_up, t
from seatplan.views.sheet.card import filled
from seatplan.views.sheet.noting import needed_of, on_the_child
from seatplan.web.failing import problem_said

#: the name of a box in the form: the reading's key behind this
READ = "read."
BELT = "belt_fits"
_ANSWERS = Words({"yes": "yes", "no": "no"})


def boxes_of(card: Card) -> dict[str, MeasuredBox]:
    """The boxes of a card by their readings, each once; those that are needed before it holds are always there."""
    found: dict[str, MeasuredBox] = {}
    for stage in card.stages:
        for step in stage.steps:
            for box in step.boxes:
                found.setdefault(box.reading, box)
    for key in needed(card):
        found.setdefault(key, MeasuredBox(reading=key))
    if on_the_child(card.placement):
        found.pop(BELT, None)             # the two buttons are that reading
    return found


def needed(card: Card) -> tuple[str, ...]:
    """The readings without which nobody notes that it holds."""
    placement = card.placement
    if placement.restraint is None or placement.mode is None:
        return ()
    return tuple(key for key in needed_of(card) if key != BELT or not on_the_child(placement))


def read(form: Mapping[str, str], boxes: Collection[str]) -> dict[str, str]:
    """What was typed, as fields of ``Record``: a plain number is in the unit that stands behind its box."""
    return {key: _with_unit(key, value) for key in boxes if (value := form.get(READ + key, "").strip())}


def _with_unit(key: str, value: str) -> str:
    if READINGS[key].unit != "mm" or not customary() or any(letter.isalpha() or letter in "\"'" for letter in value):
        return value
    return f"{value} in"


def box(reading: MeasuredBox, values: Mapping[str, Any], typed: Mapping[str, str], wrong: Sequence[Problem],
        missing: bool, is_needed: bool) -> Element:
    """One box. ``missing``: it is what keeps the answer from being taken."""
    key = reading.reading
    name, label = READ + key, look_up(READINGS[key].label)
    asked = filled(reading.asked, values) if reading.asked else ""
    amiss = [problem_said(one) for one in wrong] or ([t("This is still missing.")] if missing else [])
    told = el("span", look_up(READINGS[key].how), f" ({asked})" if asked else "",
              [" ", el("strong", t("Needed before it holds."))] if is_needed else None, id=f"{name}-how", class_="how")
    below = el("span", " ".join(amiss), id=f"{name}-wrong", class_="amiss", data_wrong=bool(amiss))
    more: dict[str, Any] = {"aria_describedby": f"{name}-how {name}-wrong", "aria_invalid": "true" if amiss else None}
    if READINGS[key].kind == "yes or no":
        return el("fieldset", el("legend", label), el("div", [
            el("label", el("input", type="radio", name=name, value=word, checked=typed.get(name) == word),
               el("span", _ANSWERS[word])) for word in _ANSWERS], class_="chips"), told, below,
                  class_="reading", id=name, tabindex=-1, **more)
    number = READINGS[key].kind in ("length", "angle")
    unit = length_unit() if READINGS[key].unit == "mm" else READINGS[key].unit
    return el("div", el("label", label, for_=name), el("span", el(
        "input", type="text", id=name, name=name, value=typed.get(name) or None, autocomplete="off",
        inputmode="decimal" if number and not customary() else None, enterkeyhint="next", **more),
        f" {unit}" if unit else "", class_="with-unit"), told, below, class_="reading")
