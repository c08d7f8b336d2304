"""Who rides, and the seats they have: a card each, and one tap for another one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any
from xml.etree.ElementTree import Element

from seatplan.app.filling import Fill
from seatplan.app.shelf import Entry
from seatplan.views.markup import el
from seatplan.views.say import t
from seatplan.web.fields import as_written
from seatplan.web.fields import field as asked
from seatplan.web.shell import chosen

from .asks import is_adult, kind_tells, restraint_asks, rider_asks, seat_kinds
from .icons import kind_drawn
from .merging import Form


def riders_part(one: Form) -> Element:
    """Children and whoever else rides."""
    riders = _mappings(one.data.get("riders"))
    return el("section", el("h2", t("Who rides"), id="riders"), [
        _card("riders", k, as_written(rider.get("rider")), [asked(ask, one.shown) for ask in rider_asks(k, rider)],
              removable=len(riders) > 1, shape="adult" if is_adult(rider) else "child")
        for k, rider in enumerate(riders)],
        el("div", _do("child", t("Another child")), _do("adult", t("An adult who rides along")), class_="more"))


def restraints_part(one: Form, library: Sequence[Entry], references: Mapping[str, Entry],
                    bundled: Mapping[str, str]) -> Element:
    """Child seats: written here by kind, or files of the library (``references``: by how a trip names them)."""
    items = one.data.get("restraints") or ()
    return el("section", el("h2", t("Their seats"), id="restraints"),
              None if items else el("p", t("Which seats are there? Tap the kind of each one."), class_="hint"),
              [_restraint(k, item, one, references) for k, item in enumerate(items)],
              el("h3", t("Another seat"), id="more-seats"),
              el("div", [_do(f"seat:{kind}", told, kind_drawn(kind), kind_tells(kind)) for kind, told in
                         seat_kinds().items()], class_="kinds"),
              el("div", chosen("own", t("or one that is written down already"), [
                  ("", t("choose")), *((f"own:{entry.number}", entry.title) for entry in library),
                  *((f"bundled:{name}", t("{name} (invented example)", name=told)) for name, told in bundled.items())],
                  ""), _do("own", t("Take it along")), class_="more"))


def _restraint(k: int, item: Any, one: Form, references: Mapping[str, Entry]) -> Element:
    if isinstance(item, Mapping) and "use" not in item:
        return _card("restraints", k, as_written(item.get("restraint")),
                     [asked(ask, one.shown) for ask in restraint_asks(("restraints", k), item)],
                     shape=as_written(item.get("kind")))
    name = as_written(item.get("use") if isinstance(item, Mapping) else item)
    entry = references.get(name)
    called = as_written(item.get("as")) if isinstance(item, Mapping) and item.get("as") else (
        entry.title if entry is not None else name)
    told = el("p", t("It has a file of its own: "), el("a", t("its page"), href=f"/seats/{entry.number}"), ".") if (
        entry is not None) else el("p", t("It is one of the invented examples, or its file is elsewhere."))
    return _card("restraints", k, called, [told], shape="file")


def _card(what: str, k: int, name: str, inside: Sequence[Element], *, removable: bool = True,
          shape: str = "") -> Element:
    told = "rider" if what == "riders" else "restraint"
    return el("fieldset", el("legend", el("span", name, id=f"{told}-{k}-name", data_live=True)), inside,
              el("button", el("span", t("Take {name} out", name=name), id=f"{told}-{k}-out", data_live=True), name="do",
                 value=f"{what}:{k}", class_="less") if removable else None,
              id=f"{told}-{k}", class_="card", data_shape=shape or None)


def _do(value: str, told: str, *more: Element | str) -> Element:
    if more:
        drawn, tell = more
        return el("button", drawn, el("span", el("strong", told), el("small", tell)), name="do", value=value,
                  class_="kind")
    return el("button", told, name="do", value=value)


def _mappings(items: Any) -> list[Mapping[str, Any]]:
    return [item if isinstance(item, Mapping) else {} for item in items or ()]


# --- what the buttons do

def asked_for(done: str, one: Form, form: Mapping[str, str], references: Mapping[str, str],
              bundled: Mapping[str, str]) -> tuple[Fill, str] | None:
    """The change that a button stands for, and where the page goes on; None for what is no button of ours.
    ``references``: number of a restraint's file -> how the trip names it."""
    what, _, at = done.partition(":")
    riders, restraints = one.data.get("riders") or [], one.data.get("restraints") or []
    names = {as_written(rider.get("rider")) for rider in _mappings(riders)}
    if what == "child":
        name = _free(t("Child {n}", n=1 + sum(not is_adult(rider) for rider in _mappings(riders))), names)
        return Fill(("riders", len(riders)), adds={"rider": name, "born": None}), f"rider-{len(riders)}"
    if what == "adult":
        name = _free(t("Adult {n}", n=1 + sum(map(is_adult, _mappings(riders)))), names)
        return Fill(("riders", len(riders)), adds={"rider": name, "adult": "yes"}), f"rider-{len(riders)}"
    back = f"restraint-{len(restraints)}"
    if what == "seat" and at in seat_kinds():
        taken = {as_written(item.get("restraint") if isinstance(item, Mapping) else item) for item in restraints}
        name = _free(t("Seat {n}", n=len(restraints) + 1), taken)
        return Fill(("restraints", len(restraints)), adds={"restraint": name, "kind": at}), back
    if what == "own":
        where, _, number = form.get("own", "").partition(":")
        chosen_one = {"own": references.get(number), "bundled": number if number in bundled else None}
        named = chosen_one.get(where)
        return None if named is None else (Fill(("restraints", len(restraints)), named), back)
    if what in ("riders", "restraints") and at.isdecimal() and int(at) < len(one.data.get(what) or ()):
        return Fill((what, int(at)), None), what
    return None


def _free(name: str, taken: set[str]) -> str:
    """A name that nobody has yet."""
    n, found = 2, name
    while found in taken:
        found, n = f"{name} {n}", n + 1
    return found
