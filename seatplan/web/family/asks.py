"""What the family's pages ask of a car, of children and of their seats: the answers of the short forms, each once.

An ``Ask`` names where its answer stands in the file. What a field of the files is called and how it is taken is said by
``seatplan.fields`` wherever that has the field; words of their own have only questions that are no field by themselves.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Literal

from seatplan.app.filling import Fill, Path
from seatplan.fields import FIELDS, how_to_take
from seatplan.frozen import frozen
from seatplan.model.kinds import HARNESS, KINDS, LIMITS_OF
from seatplan.views.answers import AIRBAGS, HOW, LEGS, RETRACTORS, THERE, YES_NO
from seatplan.views.say import Words, t, tr

from .beginning import DRIVES, RULES

Way = Literal["length", "mass", "angle", "range", "ages", "day", "text", "choice", "pick"]


@frozen
class Ask:
    """``path``: in the file; ``label`` and ``how`` are shown as they are, in the language in force; ``choices``: value
    in the file -> what it is called; ``example``: what an answer looks like; ``must``: there is always an answer;
    ``at``: what ids begin with in a page, where that is not the name; ``names``: in place of yes the file can name
    which it is."""

    path: Path
    label: str
    how: str = ""
    way: Way = "text"
    choices: Mapping[str, str] | None = None
    example: str = ""
    must: bool = False
    at: str = ""
    names: bool = False

    @property
    def name(self) -> str:
        """What the field is called in a form."""
        return ".".join(map(str, self.path))

    def fill(self, typed: str, data: Mapping[str, Any]) -> Fill:
        """What was typed, to be written into that data."""
        return Fill(self.path, typed)


_BELTS = Words({"lap-shoulder": "lap and shoulder, every one", "lap": "only a lap part"})
_FORBIDS = Words({"none": "no seat is forbidden"})
_SEX = Words({"girl": "girl", "boy": "boy"})
_KINDS = Words({
    "infant-carrier": "carrier for babies, with a handle", "rear-and-forward": "backwards, then forwards, with harness",
    "forward-only": "forwards only, with harness",
    "harness-to-booster": "forwards with harness, then with the car's belt",
    "all-stages": "backwards, forwards, then with the car's belt", "high-back": "booster with a back",
    "backless": "booster without a back", "lying-flat": "bed in which a baby lies flat"})
_WAYS = Words({"rear_facing": "facing backwards", "forward_facing": "facing forwards in its harness",
               "booster": "with the car's belt"})


def _field(path: Path, key: str, way: Way, example: str = "", choices: Mapping[str, str] | None = None,
           label: str = "", own: str = "") -> Ask:
    """A question about a field of the table; ``own``: how to answer it, where a form asks otherwise than a file."""
    known, how = FIELDS[key], tr(how_to_take(key))
    said_so = how[:1].upper() + how[1:] + "." if label or known.short else ""
    return Ask(path, label or (t(known.short) if known.short else how), own or HOW.get(key, said_so), way, choices,
               example, names=choices is THERE)


def car_asks() -> list[Ask]:
    """About the whole car."""
    at = "every_seat"
    return [
        Ask(("vehicle",), t("what you call it")),
        Ask((at, "forward_and_fixed"), t("all seats face forward and stay where they are"), t(
            "Yes, if no cushion folds up by itself and no row behind the front one slides on rails."), "choice",
            YES_NO),
        Ask((at, "belt"), t("belts in the back"), "", "choice", _BELTS),
        Ask((at, "retractor"), t("a belt pulled right out"), t(
            "Pull one out all the way and let it run back."), "choice", RETRACTORS),
        Ask((at, "inflatable"), t("a shoulder part thick like a tube"), t(
            "Feel the belts in the back: such a belt blows up in a crash."), "choice", YES_NO),
        Ask((at, "forbids"), t("the handbook on child seats"), t(
            "Look up its table of seats. Where it forbids one, leave this open and write it into the file."), "choice",
            _FORBIDS),
        Ask((at, "support_leg"), t("legs to the floor in the back"), t(
            "Look under the carpet and in the handbook."), "choice", LEGS),
    ]


@frozen
class _DoorAsk(Ask):
    """The width between the door trims, which is an entry of its own among the side walls."""

    def fill(self, typed: str, data: Mapping[str, Any]) -> Fill:
        """A file without that entry gets it whole."""
        rows, k, trim, number, key = self.path
        if _door(data["rows"][k].get("trim")) is not None:
            return Fill(self.path, typed)
        return Fill((rows, k, trim, number), typed, adds={"name": "door", "left": "0", str(key): typed})


def _door(trim: Any) -> int | None:
    """Which entry of the side walls is the door trim."""
    return next((i for i, one in enumerate(trim) if isinstance(one, Mapping) and one.get("name") == "door"),
                None) if isinstance(trim, list) else None


def row_asks(k: int, row: Mapping[str, Any]) -> Iterator[Ask]:
    """About a row behind the front one."""
    trim = row.get("trim")
    number = _door(trim)
    if number is None:
        number = len(trim) if isinstance(trim, list) else 0
    yield _DoorAsk(("rows", k, "trim", number, "right"), t("from door trim to door trim"), t(
        "With the tape from the left door trim, at the narrowest over the cushion."), "length", example="1460")


def seat_asks(k: int, n: int, row: Mapping[str, Any], position: Mapping[str, Any]) -> Iterator[Ask]:
    """About one seat, in the order in which somebody kneels before it."""
    at: Path = ("rows", k, "positions", n)
    if row.get("row") == 1:
        yield Ask((*at, "airbag", "front"), t("airbag in front of it"), t("Read the sun visor and the handbook."),
                  "choice", AIRBAGS)
        return
    yield _field((*at, "lower_anchors"), "position.lower_anchors", "choice", choices=THERE,
                 label=t("two bars for child seats"))
    yield _field((*at, "tether"), "position.tether", "choice", choices=THERE, label=t("loop for a top strap"))
    yield _field((*at, "centre"), "position.middle", "length", "340", label=t("its middle, from the left door trim"))
    yield Ask((*at, "belt", "buckle", "across"), t("its buckle, from the left door trim"), t(
        "Where a booster is to stand."), "length", example="505")
    ahead = position.get("ahead")
    if isinstance(ahead, Mapping) and "seat" in ahead and not ahead.get("gap"):
        yield Ask((*at, "ahead", "free"), t("free length to {seat}", seat=str(ahead["seat"])), t(
            "With the seat ahead where its person sits: from the crease straight forwards to its back, the shortest at "
            "any height up to 90 cm."), "length", example="560")


def rider_asks(k: int, rider: Mapping[str, Any]) -> Iterator[Ask]:
    """About a child, or whoever else rides."""
    at: Path = ("riders", k)
    if is_adult(rider):
        yield Ask((*at, "rider"), t("name"), t("Any word that you know them by."), must=True)
        yield _field((*at, "height"), "rider.height", "length", "172 cm", own=t("Standing, without shoes."))
        yield Ask((*at, "hips"), t("breadth of the hips"), t("Seated, at the widest. Leave it open: it is estimated."),
                  "length", example="400")
        return
    yield Ask((*at, "rider"), t("name"), t("Any word that you know the child by."), must=True)
    yield Ask((*at, "born"), t(FIELDS["rider.born"].short), "", "day")
    yield Ask((*at, "age"), t("or age"), t(
        "Where you do not know the day: 14 months, 4 years, or 4 to 7 years."), "ages")
    yield _field((*at, "mass"), "rider.mass", "mass", "15 kg")
    yield _field((*at, "height"), "rider.height", "length", "96 cm")
    yield _field((*at, "sits_upright"), "rider.sits_upright", "choice", choices=YES_NO)


def is_adult(rider: Mapping[str, Any]) -> bool:
    """Whether somebody needs no child seat."""
    return rider.get("adult") in ("yes", True) or rider.get("drives") in ("yes", True)


def seat_kinds() -> dict[str, str]:
    """The kinds of restraint and what to know each by."""
    return {kind: _KINDS[kind] for kind in KINDS}


def kind_tells(kind: str) -> str:
    """How to tell a kind from the others."""
    return tr(KINDS[kind].tell)  # type: ignore[index]  # a word of the table


def restraint_asks(at: Path, restraint: Mapping[str, Any]) -> Iterator[Ask]:
    """About one restraint of a kind: its label, its width, whether it may be used. ``at``: where it stands."""
    yield Ask((*at, "restraint"), t("what you call it"), must=True)
    kind = restraint.get("kind")
    if kind not in KINDS:
        return
    yield Ask((*at, "kind"), t("kind"), tr(KINDS[kind].tell), "pick", seat_kinds(), must=True)
    yield Ask((*at, "in_order"), t("in order"), t(
        "Yes, if its label says that it is in date, it is undamaged, was in no crash, has no open recall, and its "
        "labels can be read."), "choice", YES_NO)
    yield Ask((*at, "width"), t("width"), t("Across at its widest, armrests and cup holders too."), "length",
              example="44 cm")
    ways = list(dict.fromkeys(LIMITS_OF[mode] for mode, _ in KINDS[kind].modes if mode in LIMITS_OF))
    written = restraint.get("limits")
    alone = len(ways) <= 1 and not (isinstance(written, Mapping) and any(way in written for way in ways))
    for way in ways or [""]:
        limits: Path = (*at, "limits") if alone else (*at, "limits", way)
        told = "" if alone else f", {_WAYS[way]}"
        yield Ask((*limits, "mass"), t("lightest and heaviest child{way}", way=told), t("From its label."), "range",
                  example="10-29 kg")
        yield Ask((*limits, "height"), t("shortest and tallest child{way}", way=told), t("From its label."), "range",
                  example="76-124 cm")
    if any(mode in HARNESS for mode, _ in KINDS[kind].modes):
        yield Ask((*at, "limits", "on_lower_anchors"), t("heaviest child on the car's bars"), t(
            "From its label or instructions; none, where they name no such limit."), "mass", example="16 kg")
        yield _field((*at, "support_leg"), "installation.support_leg", "choice", choices=YES_NO,
                     label=t("a leg down to the floor"))
    if any(mode == "rear-facing-harness" for mode, _ in KINDS[kind].modes):
        yield Ask((*at, "level_adjusts"), t("leans back until its level mark is right"), t(
            "Yes, if it does so in steps or on a foot."), "choice", YES_NO)


def trip_asks() -> list[Ask]:
    """About the trip itself."""
    return [Ask(("trip",), t("what you call this trip"), must=True),
            Ask(("drives",), t("the driver sits"), "", "choice", DRIVES, must=True),
            Ask(("rules",), t("rules"), t("Those of the country you drive in."), "choice", RULES, must=True),
            Ask(("on",), t("day of travel"), t("Today, if you leave it open."), "day")]


def trip_questions(data: Mapping[str, Any]) -> list[Ask]:
    """Everything that is asked of a trip."""
    asks = trip_asks()
    for k, rider in enumerate(data.get("riders") or ()):
        asks += rider_asks(k, rider if isinstance(rider, Mapping) else {})
    for k, restraint in enumerate(data.get("restraints") or ()):
        if isinstance(restraint, Mapping) and "use" not in restraint:
            asks += restraint_asks(("restraints", k), restraint)
    return asks
