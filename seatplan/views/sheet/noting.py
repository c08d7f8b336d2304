"""How what is read at the car is written into the trip: the command of a page, and what is noted of it already."""

from __future__ import annotations

import shlex
from xml.etree.ElementTree import Element

from seatplan.model import Tried, Trip
from seatplan.readings import READINGS
from seatplan.rules.subjects import Placement
from seatplan.rules.tries import lacks_readings, lies_on_the_child, reading
from seatplan.solver.installing import Card
from seatplan.solver.ranking import is_as_noted
from seatplan.views.manner import day
from seatplan.views.markup import el
from seatplan.views.record_text import told_of_reading
from seatplan.views.say import t

#: what stands for a reading of a kind in a command; only what holds is noted like that
_VALUES = {"length": "LENGTH", "angle": "DEGREES", "words": "TEXT", "yes or no": "yes"}


def if_it_holds(card: Card, trip: Trip, note: str | None) -> Element | None:
    """A paragraph; None where nothing can be noted. ``note``: the trip, where something can be written into it."""
    placement = card.placement
    if note is None:
        return None
    if placement.mode is None:
        return el("p", el("strong", t("If the belt fits,")), " ", t("note it:"), " ",
                  el("code", f"{tried(note, placement, trip)} --belt-fits yes"), " ",
                  t("; if the whole belt-fit test is passed here, that too:"), " ",
                  el("code", belt_fits(note, placement)), ".", class_="noting")
    needed = needed_of(card)
    more = [_option(key) for key in card.readings if key not in needed]
    given = " ".join(f"{_option(key)} {_VALUES[READINGS[key].kind]}" for key in needed)
    return el(
        "p", el("strong", t("If the belt fits,") if on_the_child(placement) else t("If it holds,")), " ",
        t("note it:"), " ",
        el("code", f"{tried(note, placement, trip)} {given}".rstrip()),
        [t(", and what else was read:"), " ", el("code", " ".join(more))] if more else None, ".", class_="noting")


def on_the_child(placement: Placement) -> bool:
    """Whether the vehicle belt lies on the child, so that it is the belt that fits or not."""
    return placement.mode is None or lies_on_the_child(placement.mode, placement.by)


def needed_of(card: Card) -> list[str]:
    """The readings without which it is not noted that it holds, by the boxes of the page."""
    placement = card.placement
    assert placement.mode is not None
    assert placement.restraint is not None
    if placement.built_in:
        return list(lacks_readings(None, placement.mode))
    nothing = Tried.model_validate({"restraint": placement.restraint.restraint, "by": placement.by,
                                    "position": placement.position.position})
    return [key if key in card.readings else "angle" for key in lacks_readings(nothing, placement.mode)]


def _option(key: str) -> str:
    return "--" + key.replace("_", "-")


def will_not_do(placement: Placement) -> str:
    """What stands in place of the readings where it will not hold, or the belt does not fit."""
    return "--belt-fits no" if on_the_child(placement) else "--failed"


def tried(note: str, placement: Placement, trip: Trip) -> str:
    """The command that notes a try of a restraint, or how the belt alone lies; of what is under way its rider says it
    all."""
    restraint, rider = placement.restraint, placement.rider.rider
    given = ["--rider", rider]
    aim = trip.under_way.get(rider)
    if aim is None or not is_as_noted(placement, aim):
        given += ["--restraint", "none" if restraint is None else restraint.restraint,
                  "--position", placement.position.position]
        given += [] if restraint is None or placement.built_in else ["--by", placement.by]
        if restraint is not None and len(restraint.modes) > 1:
            given += ["--mode", placement.mode_name]
    return f"seatplan record {note} {shlex.join(given)}"


def belt_fits(note: str, placement: Placement) -> str:
    """The command that notes that the vehicle belt alone fits a child on its seat."""
    owner = f"{placement.rider.rider}.belt_fit"
    given = ["--set", f"{owner}.position={placement.position.position}", "--set", f"{owner}.passed=yes"]
    return f"seatplan measure {note} {shlex.join(given)}"


def noted_already(placement: Placement, trip: Trip) -> str:
    """What the trip says of it where it stands there already: ``Noted: it is in, left to right 12 mm``."""
    here = trip.installed.get(placement.rider.rider)
    if here is None or not is_as_noted(placement, here):
        return ""
    told = [told_of_reading(key, value) for key in READINGS if (value := reading(here, key)) not in (None, "")]
    on = t(" on {on}", on=day(here.on)) if here.on else ""
    if placement.restraint is None:
        return t("Noted{on}: {readings}.", on=on, readings=", ".join(told)) if told else ""
    return t("Noted: it is in{on}; {readings}.", on=on, readings=", ".join(told) or t("nothing measured"))
