"""Forms to print for a vehicle, a restraint or a rider that nobody has measured yet: in the order of the files, each
field with how to take it, its unit and room to write."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple
from xml.etree.ElementTree import Element

from seatplan.fields import FIELDS, how_to_take

from .caution import CAUTION, caution
from .content import Blank, Block, Heading, Paragraph, Text, group, spans
from .document import TRIP_ATTRIBUTE
from .html import Place, elements
from .manner import language
from .markup import el, html_file
from .say import N, t, tr, unit
from .sheet.paper import style
from .terminal import parts_of

#: a field of the files, or a line of its own: what, how to take it, and its unit
Line = str | tuple[str, str] | tuple[str, str, str]


class _Form(NamedTuple):
    """What the form is for, its sections with their lines, and what to do with it."""

    title: str
    sections: tuple[tuple[str, tuple[Line, ...]], ...]
    hint: Callable[[], Text]


_CAR: tuple[Line, ...] = (
    (N("make a name for it"), N("so that you know which car it was")),
    (N("model year"), N("from its papers")),
    (N("day, and who measured"), ""),
)
_ROW: tuple[Line, ...] = (
    (N("left door trim to right door trim"),
     N("across, at the height of the seat: the left trim is 0 of all that follows"), "mm"),
    (N("left armrest, right armrest"), N("across from the left trim, and from where to where up and along"), "mm"),
    "row.cushion.left", "row.cushion.length", "row.cushion.angle", "row.cushion.above_floor", "row.seatback.angle",
    "row.lower_anchors", "row.tethers", "row.tethers.marked", "row.slides",
)
_SEAT: tuple[Line, ...] = (
    "position.centre",
    (N("its own pair of bars, its tether"), N("or none; a pair it may borrow, by the handbook")),
    "position.belt.kind", "position.belt.retractor", "position.belt.latchplate", "position.belt.inflatable",
    "position.belt.anchors", "position.belt.buckle", "position.belt.buckle.stalk_kind", "position.belt.length",
    "position.belt.tightens_before_crash", "position.belt.detachable", "position.head_restraint",
    "position.airbag.front", "position.support_leg", "position.ahead", "position.ahead.travel",
    "position.manual.forbids", "position.manual.allows", "position.exit",
)
_RESTRAINT: tuple[Line, ...] = (
    (N("make a name for it"), N("so that you know which one it was")),
    "restraint.mass", "restraint.made", "restraint.expires", "restraint.condition.crash", "restraint.condition.recall",
    "restraint.condition.labels", "restraint.condition.history", "restraint.approval.category",
    "restraint.approval.groups", "restraint.approval.fixtures",
)
_MODE: tuple[Line, ...] = (
    "limits", "mode.shoulder_slots", "mode.shell_height", "mode.seat_up", "mode.parts", "mode.recline",
    "mode.recline.packing", "mode.touch_ahead", "mode.tether_strap", "mode.tether_length", "mode.tether_from",
)
_INSTALLATION: tuple[Line, ...] = (
    "installation.connectors", "installation.support_leg", "installation.leg_reach", "installation.leg_along",
    "installation.mass_limit", "installation.combined_mass_limit", "installation.needs_tether",
    "installation.tether_mass_limit", "installation.belt_path", "installation.belt_needed", "installation.lock_off",
    "installation.locking_clip",
)
_RIDER: tuple[Line, ...] = (
    (N("name"), ""), "rider.born", (N("day, and who measured"), ""), "rider.mass", "rider.height",
    "rider.sitting_height", "rider.shoulder_height", "rider.ear_height", "rider.sits_upright",
    "rider.hips", "rider.shoulders", "rider.buttock_knee",
)
_FORMS = {
    "vehicle": _Form(
        N("A car to measure (all lengths in mm or inches, level ground, front seats rearmost)"),
        ((N("The car"), _CAR), (N("Each row: row ___"), _ROW),
         (N("Each seat: seat ___ (row and side, such as 2L)"), _SEAT)),
        lambda: spans("hint: `seatplan new vehicle > my-car.yaml` has a place for each of them")),
    "restraint": _Form(
        N("A child restraint to measure (all lengths in mm or inches, masses in kg or pounds)"),
        ((N("The restraint"), _RESTRAINT), (N("Each way of riding in it: ___"), _MODE),
         (N("Each way of installing it: ___"), _INSTALLATION)),
        lambda: spans("hint: `seatplan new restraint > my-restraint.yaml` has a place for each of them")),
    "rider": _Form(
        N("A rider to measure (lengths in mm or inches, masses in kg or pounds, without shoes)"),
        ((N("Each rider"), _RIDER),),
        lambda: spans("hint: `seatplan new trip > my-trip.yaml` has a place for each of them")),
}


def form_text(kind: str) -> str:
    """The form for a ``vehicle``, a ``restraint`` or a ``rider`` as text; see ``form_content``."""
    return parts_of(form_content(kind))


def form_content(kind: str) -> list[Block | None]:
    """The whole form, section by section."""
    form = _FORMS[kind]
    return [
        Heading(t(form.title)),
        *(group(Heading(t(title)), group(*(block for line in lines for block in _line(line)), inner=True))
          for title, lines in form.sections),
        Paragraph(form.hint()), caution()]


def form_html(kind: str, paper: str = "a4") -> str:
    """The same as a page to print, a section to a page."""
    form = _FORMS[kind]
    return html_file(el(
        "html",
        el("head", el("meta", charset="utf-8"), el("title", t(form.title)),
           el("meta", name="viewport", content="width=device-width, initial-scale=1"),
           el("meta", name="generator", content="made by seatplan"), el("style", style(paper))),
        el("body", el("main", el("h1", t(form.title)), *(
            el("section", el("h2", t(title)), el("ul", [_asked(line) for line in lines], class_="steps blanks"),
               el("p", tr(CAUTION), class_="caution"))
            for title, lines in form.sections), el("p", elements([Paragraph(form.hint())], Place())))),
        lang=language(), **{TRIP_ATTRIBUTE: kind}), "form")


def _line(line: Line) -> list[Block]:
    """What is to be written down, and how to take it."""
    what, how = _told(line)
    return [Blank(what, how=how)]


def _asked(line: Line) -> Element:
    """The same on a page, with a box to write in."""
    what, how = _told(line)
    return el("li", el("label", el("strong", what), " ", how, class_="do"), el("input", type="text", class_="long"))


def _told(line: Line) -> tuple[str, str]:
    if isinstance(line, str):
        field = FIELDS[line]
        return _with_unit(t(field.short), field.unit), tr(how_to_take(line))
    what, how, *of = line
    return _with_unit(t(what), of[0] if of else ""), t(how)


def _with_unit(what: str, symbol: str) -> str:
    """A label with the unit of what is written there; of an age the day is written."""
    return f"{what} ({unit(symbol)})" if symbol and symbol != "months" else what
