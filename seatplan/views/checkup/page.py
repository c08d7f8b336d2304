"""A checkup as one page for the file: blocks, with the data of it within, and lines to sign in ink."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any
from xml.etree.ElementTree import Element

from seatplan.app.checkup import ForTheFile
from seatplan.app.checkups import SHORT
from seatplan.files.checkups import ELEMENT, HASH, PAGE_HASH, Seal, page_sealed, seal
from seatplan.model import Installed, Tried
from seatplan.readings import READINGS
from seatplan.rules.tries import reading, would_not_hold
from seatplan.solver.departure import Leaves
from seatplan.views.caution import CAUTION, LAW, foot
from seatplan.views.content import Block, Figure, Heading, Items, Paragraph, Table, group, items
from seatplan.views.document import TRIP_ATTRIBUTE, identity
from seatplan.views.doubted_text import doubted
from seatplan.views.html import Place, elements
from seatplan.views.manner import day, language
from seatplan.views.markup import el, html_file
from seatplan.views.notes_text import cautions_said, estimates_said, findings_of, things_among
from seatplan.views.pages import style_of
from seatplan.views.record_text import told_of_reading
from seatplan.views.say import N, look_up, t, tr
from seatplan.views.sheet.card import filled
from seatplan.views.sheet.child import child_said
from seatplan.views.text import heading, mm
from seatplan.views.under_way_text import against_said, under_way
from seatplan.views.words import BY, MODES, car_name, fits_said
from seatplan.written import visible

from .words import STATES, point_said

#: which kind of document a file of it says that it is
KIND = "checkup"
#: reading -> another one that says the same of a restraint
_INSTEAD = {"sideways": "moved", "forwards": "moved", "level": "angle", "angle": "level"}
#: open points that say that somebody rides otherwise than the plan
_OTHERWISE = ("not-installed", "not-allowed")
_INSTALLED = (N("rider"), N("seat"), N("in"), N("held by"), N("read"), N("day"), N("by whom"), N("note"))
_TRIED = (N("rider"), N("seat"), N("in"), N("held by"), N("read"), N("came of it"), N("day"), N("by whom"), N("note"))


def checkup_page(found: ForTheFile, data: Mapping[str, Any]) -> tuple[str, str]:
    """A whole HTML file with the ``data`` in it, and its hash. Nothing is loaded from elsewhere, and no script runs."""
    sealed = seal(data)
    title = heading(lambda trip: t("{trip}: checkup", trip=trip), found.file.trip)
    root = el(
        "html",
        el("head", el("meta", charset="utf-8"), el("title", title),
           el("meta", name="viewport", content="width=device-width, initial-scale=1"),
           el("meta", name="generator", content="made by seatplan"), el("style", style_of("checkup", FOOT=foot()))),
        el("body", el("main", el("h1", title), _caution(), elements(list(_content(found, data, sealed)), Place("h2")),
                      _signed(), _caution()),
           el("script", sealed.text, type="application/json", id=ELEMENT,
              **{HASH: sealed.sha256, PAGE_HASH: sealed.blank})),
        lang=language(), **{TRIP_ATTRIBUTE: identity(found.file)})
    return page_sealed(html_file(root, KIND), sealed)


def _caution() -> Element:
    return el("p", t("Caution: {CAUTION}", CAUTION=CAUTION), " ", tr(LAW), class_="caution")


def _content(found: ForTheFile, data: Mapping[str, Any], sealed: Seal) -> Iterator[Block | None]:
    left, arrangement = found.departure, found.departure.arrangement
    yield Paragraph(t("In {vehicle}, {day}, rules {name}. Written on {made} by seatplan {program}.",
                      vehicle=car_name(found.file.vehicle), day=day(found.day), name=found.profile.name,
                      made=day(found.made), program=data["program"]))
    told = STATES[left.state]
    yield Paragraph(t("As it left: {state}.", state=told) + (
        t(" The plan: it {fits}.", fits=fits_said(arrangement.verdict)) if arrangement is not None else ""))
    yield items([point_said(point) for point in left.open])
    yield under_way(found.trip, found.profile, found.day)
    yield from _arrived(found)
    yield Heading(t("What was tried"))
    limit = float(found.profile.limit("movement_at_belt_path"))
    rows = tuple(_tried_row(tried, limit) for tried in found.file.tried)
    yield Table(tuple(map(look_up, _TRIED)), rows, t("Each try")) if rows else Paragraph(t("No try is noted."))
    yield Heading(t("As it left"))
    yield from _left(found)
    if arrangement is not None:
        cautions = cautions_said(arrangement)
        yield group(Heading(t("Cautions")), items(cautions)) if cautions else None
    yield from _known(found)
    yield Heading(t("Who was there"))
    yield Items(found.who) if found.who else Paragraph(t("Nobody is noted."))
    yield Heading(t("What this file holds"))
    yield Paragraph(t(
        "The trip with its car and every restraint is in this file as data. SHA-256 of the whole file, all that it "
        "shows and the data, without the hash itself: {sha256}. It shows that something was changed since, but not "
        "who made it. In the list of a day: its first {n} letters.", sha256=sealed.blank, n=SHORT))
    file = found.profile.file
    yield Paragraph(t("So are the limits of the rules.") if file is None else t(
        "So are the limits of the rules, and the text of {file}, the local file of rules. SHA-256 of that text: "
        "{sha256}.", file=visible(file.name), sha256=file.sha256))


def _arrived(found: ForTheFile) -> Iterator[Block | None]:
    yield Heading(t("As it arrived"))
    if not found.file.arrived:
        yield Paragraph(t("How it arrived is not noted."))
        return
    yield Table(tuple(map(look_up, _INSTALLED)),
                tuple(_installed_row(rider, here) for rider, here in found.file.arrived.items()),
                t("Installed on arrival"))
    arrival = found.arrival
    if arrival is None:
        return
    if arrival.against:
        yield group(Paragraph(t("As it arrived it must not be used:")), items(against_said(arrival.against)))
    elif not arrival.possible:
        yield Paragraph(t("No arrangement has all of it as it arrived."))
    if arrival.grave:
        yield group(Paragraph(t("Grave cautions as it arrived:")), items(against_said(arrival.grave)))


def _installed_row(rider: str, here: Installed) -> tuple[str, ...]:
    return (rider, here.position, _in(here.restraint, here.mode), _by(here.by, here.tether),
            _readings(here), _day(here), here.who or "-", here.note or "-")


def _tried_row(tried: Tried, limit: float) -> tuple[str, ...]:
    came = t("would not hold") if would_not_hold(tried, limit) else t("noted")
    return (tried.rider or "-", tried.position, _in(tried.restraint, tried.mode), _by(tried.by, tried.tether),
            _readings(tried), came, _day(tried), tried.who or "-", tried.note or "-")


def _in(restraint: str | None, mode: str | None) -> str:
    if restraint is None:
        return t("seat belt")
    return f"{restraint}, {MODES[mode]}" if mode else restraint


def _by(by: str | None, tether: bool | None) -> str:
    told = BY[by] if by else "-"
    return told if tether is None else f"{told}, {t('tether snug') if tether else t('no tether')}"


def _readings(one: Installed | Tried) -> str:
    return ", ".join(told_of_reading(key, value) for key in READINGS
                     if (value := reading(one, key)) not in (None, "")) or "-"


def _day(one: Installed | Tried) -> str:
    return day(one.on) if one.on is not None else "-"


def _left(found: ForTheFile) -> Iterator[Block]:
    """What is installed, and each reading that the sheet asks for with what was read."""
    left = found.departure
    rows = tuple(_installed_row(rider, here) for rider, here in found.file.installed.items())
    yield Table(tuple(map(look_up, _INSTALLED)), rows, t("Installed on leaving")) if rows else Paragraph(
        t("Nothing is noted as installed."))
    # a drawing of the plan shows everybody in: it stands only where it is how the car left
    if rows and left.arrangement is not None and not any(point.kind in _OTHERWISE for point in left.open):
        yield Figure(left.plan, left.arrangement)
    for one in left.leaves:
        if one.here is not None and one.asked:
            yield _asked(one)


def _asked(one: Leaves) -> Table:
    assert one.here is not None
    told = _shown(one, one.here)
    rows = []
    for box in one.asked:
        value = reading(one.here, box.reading)
        if box.reading == "belt_fits" and value is None and one.belt_tested:
            read = t("belt-fit test passed here")
        elif value not in (None, ""):
            read = told_of_reading(box.reading, value)
        else:
            instead = _INSTEAD.get(box.reading, "")
            other = None if box.reading in one.missing else reading(one.here, instead)
            read = t("not noted") if other in (None, "") else told_of_reading(instead, other)
        asked = filled(box.asked, one.values) if box.asked and one.values is not None else "-"
        rows.append((look_up(READINGS[box.reading].label), asked, read))
    return Table((t("reading"), t("asked"), t("read")), tuple(rows), told)


def _shown(one: Leaves, here: Installed) -> str:
    """Whether it is shown that it holds."""
    if here.restraint is None:
        return t("{rider}, seat belt at {position}: it fits", rider=one.rider.rider, position=here.position) if (
            one.holds) else t("{rider}, seat belt at {position}: that it fits is not shown", rider=one.rider.rider,
                              position=here.position)
    return t("{rider}, {restraint} at {position}: it holds", rider=one.rider.rider, restraint=here.restraint,
             position=here.position) if one.holds else t(
        "{rider}, {restraint} at {position}: that it holds is not shown", rider=one.rider.rider,
        restraint=here.restraint, position=here.position)


def _known(found: ForTheFile) -> Iterator[Block | None]:
    """What the plan rests on: what was measured or read, and what was only estimated."""
    left, arrangement = found.departure, found.departure.arrangement
    yield Heading(t("What was known, and what was only estimated"))
    yield Table((t("rider"), t("known on the day")), tuple(
        (one.rider.rider, child_said(left.plan, one.placement)) for one in left.leaves if one.placement is not None),
        t("What was known of each rider"))
    vehicle = found.file.vehicle
    yield Paragraph(t("The car was measured on {on}; a length may be off by {tolerance}.",
                      on=day(vehicle.measured.on), tolerance=mm(vehicle.measured.tolerance, "up"))
                    if vehicle.measured is not None and vehicle.measured.on is not None
                    else t("On which day the car was measured is not noted."))
    if arrangement is None:
        return
    sure = estimates_said(arrangement, left.plan.trip)
    yield Paragraph(f"{sure[0].upper()}{sure[1:]}." if sure else t("Nothing that decides was only estimated."))
    asked = things_among(findings_of(arrangement))
    yield group(Paragraph(t("Not measured:")), items(asked)) if asked else None
    yield doubted(found.trip)


def _signed() -> Element:
    """Lines for ink: nothing that is typed is a signature."""
    name, signature, on = t("name"), t("signature"), t("date")
    return el("section", el("h2", t("Signed in ink")), [
        part for who, lines in ((t("Caregiver"), (name, signature, on)),
                                (t("Technician"), (name, t("certificate number"), signature, on)))
        for part in (el("h3", who), el("div", [
            el("p", el("span", line), el("span", "", class_="line")) for line in lines], class_="signed"))],
        class_="ink")
