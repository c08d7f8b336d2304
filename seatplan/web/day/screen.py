"""One restraint on one large screen: its steps with boxes for what is read, and two answers: it holds, it does not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import field
from typing import Any
from xml.etree.ElementTree import Element

from seatplan.app.at_the_car import AtTheCar, at_the_car
from seatplan.app.errors import InputError, Problem
from seatplan.app.misasked import Misasked
from seatplan.app.record import Noted, Record, record
from seatplan.app.shelf import Changed, Held
from seatplan.frozen import frozen
from seatplan.message import said
from seatplan.readings import READINGS
from seatplan.rules.subjects import Placement
from seatplan.solver.installing import Card
from seatplan.views.html import Place, elements
from seatplan.views.markup import el
from seatplan.views.record_text import came_of_it
from seatplan.views.say import Words, look_up, t
from seatplan.views.sheet import card as sheet
from seatplan.views.sheet.noting import noted_already, on_the_child
from seatplan.views.svg.figures import row_and_side
from seatplan.views.text import heading
from seatplan.web.failing import problem_said
from seatplan.web.shell import form
from seatplan.web.visit import Answer, Goto, Page, Visit

from .asked import changed_meanwhile, held_of, meanwhile, path_of, tell, told, version
from .beginning import begin_page
from .boxes import BELT, READ, box, boxes_of, needed, read

#: why it does not hold, where no reading says it; each is a button
_REASONS = Words({"moves": "It moves too far", "level": "It does not stand level", "in": "It cannot be put in",
                  "reach": "Belt, strap or connectors do not reach", "other": "Something else"})
_BELT_REASONS = Words({"belt": "The belt does not lie as it should", "other": "Something else"})
_BELT_ALONE = ("belt",)
_HOLDS, _FAILS = "holds", "fails"


@frozen
class Amiss:
    """What kept an answer from being taken: ``problems`` as they are, ``missing`` the readings that lack."""

    problems: Sequence[Problem] = ()
    missing: frozenset[str] = field(default_factory=frozenset)

    def of(self, key: str) -> list[Problem]:
        """Those of one reading."""
        return [one for one in self.problems if one.loc == (key,) and key not in self.missing]

    @property
    def unlikely(self) -> bool:
        """Whether something was read that is so only if somebody says so."""
        return any(not one.loc for one in self.problems)


def shown(visit: Visit) -> Answer:
    """The n-th screen of a family; posted, its answer is taken first."""
    if visit.house.secret is None:
        return begin_page(visit)
    held = held_of(visit)
    try:
        now = at_the_car(held.path)
    except InputError:
        return Goto(path_of(visit))                    # which says what is wrong
    n = visit.at["n"]
    if not n.isdecimal() or len(n) > 3 or not 1 <= int(n) <= len(now.found.cards):
        return Goto(path_of(visit))
    if not visit.posted:
        return _page(visit, held, now, int(n))
    if changed_meanwhile(visit, held):
        return _page(visit, held, now, int(n), first=meanwhile(), status=409)
    card = now.found.cards[int(n) - 1]
    try:
        return _taken(visit, held, card)
    except Changed:
        return _page(visit, held_of(visit), at_the_car(held.path), int(n), first=meanwhile(), status=409)
    except InputError as error:
        lacks = [key for key in needed(card) if not visit.form.get(READ + key, "").strip()] if (
            isinstance(error, Misasked)) else []
        return _page(visit, held, now, int(n), Amiss(error.problems, frozenset(lacks)), status=422)


# --- what is written

def _taken(visit: Visit, held: Held, card: Card) -> Answer:
    what, _, reason = visit.form.get("do", "").partition(":")
    if what != _HOLDS and (what != _FAILS or reason not in _reasons(card.placement)):
        raise Misasked("do", said("there is no such button"))
    noted = record(_holding(visit, held, card) if what == _HOLDS else _failing(visit, held, card, reason)).answer
    assert isinstance(noted, Noted)
    return _on(visit, held, what, elements(came_of_it(noted), Place("h3")))


def _on(visit: Visit, held: Held, what: str, came: list[Element]) -> Answer:
    """After what holds the next screen; after what does not the family's page, where the next plan stands."""
    tell(visit, came)
    nxt = at_the_car(held.path).next if what == _HOLDS else 0
    return Goto(f"{path_of(visit)}/at/{nxt}" if nxt else f"{path_of(visit)}#told")


def _holding(visit: Visit, held: Held, card: Card) -> Record:
    given = _tried(visit, held, card)
    if on_the_child(card.placement):
        given[BELT] = "yes"
    return Record(**given, holds=True)


def _failing(visit: Visit, held: Held, card: Card, reason: str) -> Record:
    """A try that did not hold: what was read, and the reason where no reading is one."""
    given = _tried(visit, held, card)
    if reason == "level":
        given["level"] = "no"
    elif reason == "belt":
        given[BELT] = "no"
    else:
        given["failed"] = True
    return Record(**given, note=str((_BELT_REASONS if on_the_child(card.placement) else _REASONS)[reason]))


def _reasons(placement: Placement) -> tuple[str, ...]:
    """Why it may be said not to hold. The vehicle belt fits or does not; of a part of the car nothing else is said."""
    if placement.restraint is None or placement.built_in:
        return _BELT_ALONE if on_the_child(placement) else ()
    return tuple(_BELT_REASONS if on_the_child(placement) else _REASONS)


def _tried(visit: Visit, held: Held, card: Card) -> dict[str, Any]:
    """What a try is of, and what was read."""
    placement, restraint = card.placement, card.placement.restraint
    given: dict[str, Any] = {
        "trip": held.path, "rider": placement.rider.rider, "position": placement.position.position,
        "restraint": "none" if restraint is None else restraint.restraint,
        "by": None if restraint is None or placement.built_in else placement.by,
        "mode": None if restraint is None else placement.mode_name,
        "sure": visit.form.get("sure") == "yes", **read(visit.form, boxes_of(card))}
    if visit.form.get("tether") in ("yes", "no"):
        given["tether"] = visit.form["tether"]
    return given


# --- the screen

def _page(visit: Visit, held: Held, now: AtTheCar, n: int, amiss: Amiss | None = None, first: Element | None = None,
          status: int = 200) -> Page:
    found, card = now.found, now.found.cards[n - 1]
    assert found.arrangement is not None
    assert found.picture is not None
    placement = card.placement
    who, restraint = placement.rider.rider, placement.restraint
    title = heading(sheet.who_on_the_belt, who) if restraint is None else heading(
        sheet.who_in_what, who, restraint.restraint)
    drawing = row_and_side(found.plan, found.arrangement, found.picture, card.row, card.side, f"r{n}", who)
    amiss = amiss or Amiss()
    lines = sheet.checks(found.arrangement, card)
    return Page(t("{seat}, {n} of {of}", seat=placement.position.position, n=n, of=len(found.cards)), [
        el("h1", el("span", placement.position.position, class_="seat"), " ", title),
        first, told(visit), _wrong(amiss),
        el("p", t("{n} of {of}.", n=n, of=len(found.cards)), " ", sheet.why_now(card), " ",
           el("strong", noted_already(placement, found.plan.trip)), class_="where"),
        form(visit, f"{path_of(visit)}/at/{n}", [
            version(held),
            el("button", hidden=True, disabled=True),      # the first one: so that Enter in a box answers nothing
            el("div", sheet.facts(found.plan, card), el("div", drawing, class_="drawn"), class_="top"),
            el("div", el("strong", t("Check here")), el("ul", [_tick(line) for line in lines]), class_="check")
            if lines else None,
            *_steps(visit, card, amiss), *_answers(placement, amiss)], class_="screen"),
        _around(visit, n, len(found.cards))], status)


def _wrong(amiss: Amiss) -> Element | None:
    """What kept the answer from being taken; of readings that lack, the way to their boxes."""
    if not amiss.problems:
        return None
    lines = [el("li", el("a", t("Still missing before it holds: {reading}", reading=look_up(READINGS[key].label)),
                         href=f"#{READ}{key}")) for key in READINGS if key in amiss.missing]
    return el("div", el("h2", t("Nothing was written")),
              el("ul", lines or [el("li", problem_said(one)) for one in amiss.problems]),
              role="alert", class_="wrong", tabindex=-1, id="wrong")


def _tick(line: str) -> Element:
    return el("li", el("label", el("input", type="checkbox", autocomplete="off"), el("span", line), class_="tick"))


def _steps(visit: Visit, card: Card, amiss: Amiss) -> list[Element]:
    left, must = boxes_of(card), needed(card)

    def shown_box(key: str) -> Element:
        return box(left.pop(key), card.values, visit.form, amiss.of(key), key in amiss.missing, key in must)

    parts: list[Element] = []
    for stage in card.stages:
        parts.append(el("h2", t(stage.stage)))
        parts.append(el("ol", [
            el("li", el("label", el("input", type="checkbox", autocomplete="off"),
                        el("span", sheet.filled(step.text, card.values)), class_="tick"),
               [shown_box(one.reading) for one in step.boxes if one.reading in left])
            for step in stage.steps], class_="steps"))
    if card.placement.tether and card.placement.restraint is not None:
        parts.append(_tether(visit))
    return [*parts, *[shown_box(key) for key in list(left)]]


def _tether(visit: Visit) -> Element:
    return el("fieldset", el("legend", t("Tether hooked and pulled snug")), el("div", [
        el("label", el("input", type="radio", name="tether", value=word, checked=visit.form.get("tether") == word),
           el("span", told)) for word, told in (("yes", t("yes")), ("no", t("no")))], class_="chips"), class_="reading")


def _answers(placement: Placement, amiss: Amiss) -> list[Element]:
    child, reasons = on_the_child(placement), _reasons(placement)
    sure = [el("label", el("input", type="checkbox", name="sure", value="yes"), el("span", t(
        "I read it again: it is so, however unlikely")), class_="tick")] if amiss.unlikely else []
    if reasons == _BELT_ALONE:
        return [*sure, el("div", el("button", t("The belt fits"), name="do", value=_HOLDS, class_="big yes"),
                          el("button", t("The belt does not fit"), name="do", value=f"{_FAILS}:belt", class_="big no"),
                          class_="answers")]
    words = _BELT_REASONS if child else _REASONS
    return [
        *sure,
        el("div", el("button", t("The belt fits") if child else t("It holds"), name="do", value=_HOLDS,
                     class_="big yes"), class_="answers"),
        el("fieldset", el("legend", t("The belt does not fit") if child else t("It does not hold")), el("div", [
            el("button", words[key], name="do", value=f"{_FAILS}:{key}", class_="big no") for key in reasons],
            class_="answers")) if reasons else el(
                "p", t("Otherwise: do not travel like that. It is a part of the car."))]


def _around(visit: Visit, n: int, of: int) -> Element:
    return el("nav", el("ul", [
        el("li", el("a", t("Before it"), href=f"{path_of(visit)}/at/{n - 1}")) if n > 1 else None,
        el("li", el("a", t("All of this car"), href=path_of(visit))),
        el("li", el("a", t("After it"), href=f"{path_of(visit)}/at/{n + 1}")) if n < of else None]),
        aria_label=t("Screens of this car"), class_="around")
