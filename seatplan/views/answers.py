"""What answers are called where a page asks for them: the words of the files, and the parts of a value."""

from __future__ import annotations

from typing import Any

from seatplan.message import Amount, Word

from .along_text import PACKED
from .manner import day, number
from .say import N, Words, shown, t
from .text import listed, mm
from .words import VALUES

YES_NO = Words({"yes": "yes", "no": "no"})
#: bars, or a loop, of a seat
THERE = Words({"yes": "yes", "none": "none"})
RETRACTORS = Words({"switchable": "clicks back and stays locked", "emergency": "runs in and out freely",
                    "automatic": "stays where it was pulled to"})
LEGS = Words({"allowed": "may stand on the floor", "forbidden": "a box lies under the floor"})
AIRBAGS = Words({"none": "no airbag", "active": "an airbag, no switch", "switchable": "an airbag with a switch",
                 "automatic": "a sensor and a lamp"})
_ALLOWED = Words({"allowed": "allowed", "forbidden": "forbidden"})
_RIDES = Words({"rear-facing": "facing backwards", "forward-facing": "facing forwards", "booster": "on a booster"})

#: by the field, as the table of fields names it
ANSWERS: dict[str, Words] = {
    "position.lower_anchors": THERE,
    "position.tether": THERE,
    "position.airbag.front": AIRBAGS,
    "position.belt.kind": Words({"lap-shoulder": "lap and shoulder", "lap": "only a lap part", "none": "no belt"}),
    "position.belt.retractor": RETRACTORS | Words({"static": "does not run in: it is set by hand"}),
    "position.belt.latchplate": Words({
        "sliding": "runs along the belt", "locking": "stays tight when you tug at the belt",
        "switchable": "can be switched from one to the other", "sewn-on": "is sewn onto the belt",
        "dynamic-locking": "runs along the belt, and locks in a crash"}),
    "position.belt.buckle.stalk_kind": Words({
        "webbing": "on webbing", "stiff": "on a stiff stalk", "recessed": "recessed in the cushion"}),
    "position.facing": Words({"forward": "forwards", "rear": "backwards", "side": "sideways"}),
    "position.seat": Words({"fixed": "stays as it is", "fold-down": "tips up or folds away"}),
    "position.support_leg": LEGS | Words({"with-filler": "only with the maker's filler in the box"}),
    "position.over_built_in": _ALLOWED,
    "position.universal_belted": Words({
        "both": "facing backwards and forwards", "forward-only": "only facing forwards", "none": "none"}),
    "position.universal_isofix": Words({"forward-only": "only facing forwards", "none": "none"}),
    "position.manual.forbids": _RIDES | Words({
        "child-restraint": "any child seat", "lower-anchors": "the two bars for child seats"}),
    "position.manual.allows": Words({
        "lower-anchors-with-belt": "bars and belt together", "rear-facing-tether": "a top strap facing backwards",
        "buckle-twist": "twisting the buckle", "belt-tightens-before-crash": "a belt that tightens before a crash"}),
    "restraint.condition.crash": Words({
        "none": "in no crash", "minor": "in a minor one", "moderate": "in a moderate one", "severe": "in a severe one",
        "unknown": "cannot be found out"}),
    "restraint.condition.recall": Words({
        "none": "no recall", "remedied": "one that was remedied", "open": "one that is open",
        "unknown": "cannot be found out"}),
    "restraint.condition.labels": Words({
        "readable": "they can be read", "missing": "they are missing", "unknown": "cannot be found out"}),
    "restraint.condition.history": Words({"known": "known from new", "unknown": "cannot be found out"}),
    "mode.recline.packing": PACKED | Words({"none": "nothing"}),
    "mode.touch_ahead": Words({
        "may": "it may touch it", "gap": "there must be a gap", "must": "it must touch it"}),
    "installation.connectors": Words({"flexible": "on straps", "rigid": "on rigid arms"}),
    "installation.belts": Words({"lap": "a lap belt", "lap-shoulder": "a lap and shoulder belt"}),
}
#: where a list can say that there is none of it
NOTHING: dict[str, str] = Words({
    "position.manual.forbids": "it forbids nothing here", "position.manual.allows": "it allows nothing special"})


#: of what is taken in one go, the fields below it, each with what it is called there
PARTS: dict[str, tuple[tuple[str, str], ...]] = {
    "row.cushion": ((".left", N("its left edge")), (".right", N("its right edge"))),
    "row.seatback": ((".height", N("its height along it")), (".angle", N("degrees from upright"))),
    "position.belt.buckle": ((".across", N("from the left door trim")), (".stalk", N("from the crease to its top"))),
    "position.head_restraint": ((".removable", N("can be taken out")), (".juts", N("how far it stands forward"))),
    "mode.parts.base": ((".base.along", N("forward of the crease")), (".base.width", N("how wide it is"))),
    "mode.parts.outline": ((".along", N("forward of the crease")), (".up", N("up from the cushion"))),
    "mode.recline": ((".reference", N("as it leaned when its parts were measured")),
                     (".allowed", N("the least and the most that is allowed")), (".settings", N("each setting"))),
    "rider.belt_fit": ((".position", N("at which seat")), (".passed", N("passed"))),
    "mode.limits": ((".mass", N("lightest and heaviest child")), (".height", N("shortest and tallest child"))),
}
#: what the two values of a field are; of others they are from and to
PAIRS: dict[str, tuple[str, str]] = {
    "position.belt.anchors": (N("left"), N("right")),
    "mode.shoulder_slots": (N("lowest"), N("highest")),
    "mode.tether_from": (N("forward of the crease"), N("up from the cushion")),
    "installation.leg_reach": (N("pushed in"), N("drawn out")),
}
FROM_TO = (N("begins at"), N("ends at"))


def called(key: str, word: str) -> str:
    """What a word of a field is called; a word that is printed on labels, such as a size, is called what it is."""
    told = ANSWERS.get(key, VALUES)
    return str(told.get(word, word))


#: how to answer where a page asks, of fields that a file is told of otherwise
HOW: dict[str, str] = Words({
    "position.ahead": "With the seat ahead rearmost, measure from the crease straight forwards to it, at each of these "
                      "heights above the cushion.",
    "position.manual.forbids": "Look it up in the table of child seats of the vehicle handbook.",
    "position.manual.allows": "Look it up in the table of child seats of the vehicle handbook.",
    "position.over_built_in": "Look it up in the vehicle handbook.",
    "position.facing": "Which way somebody on it looks.",
    "position.seat": "Look whether its cushion tips up by itself, or folds away.",
    "position.exit": "Look whether there is a door beside it, or which seat must be folded to get out.",
    "row.cushion.gaps": "Look whether seats of the row stand apart: from and to of each gap, or none.",
    "row.slides": "Look for a lever that lets it move, and measure how far; 0, where it does not.",
    "row.trim": "Measure from the left door trim to where it begins.",
    "restraint.made": "Read it on the label.",
    "mode.recline": "Read it in the instructions, in degrees from vertical. Of a child seat that faces forwards and "
                    "has no range, what is allowed is none.",
    "mode.recline.packing": "Look it up in the instructions of the child seat.",
    "mode.touch_ahead": "Look it up in the instructions of the child seat.",
    "installation.belts": "Read in the instructions of the child seat which belts may hold it across two seats.",
    "installation.mass_limit": "From its label or instructions; none, where they name no such limit.",
    "installation.support_leg": "Look under its front edge for a leg down to the floor.",
    "rider.belt_fit": "Do the belt-fit test with the seat belt alone at this seat.",
    "rider.sits_upright": "For a booster: does the child keep the belt in place, awake and asleep?",
})

#: of a field of the table, what is taken in one go with it; and which parts are angles
_WHOLE = {"row.cushion.left": "row.cushion", "row.seatback.angle": "row.seatback"}
_ANGLES = frozenset(("angle", "reference", "allowed", "settings"))


def value_called(key: str, value: Any, unit: str) -> str:
    """A value that would do, as a page asks for it: a word as it is called there, a number with its unit. ``key``: of
    what, as the table of fields names it."""
    if isinstance(value, str):
        return called(key, value)
    if isinstance(value, dict):
        parts = {behind.rpartition(".")[2]: t(told) for behind, told in PARTS.get(_WHOLE.get(key, key), ())}
        return ", ".join(f"{parts.get(name, name)}: {_part(name, one)}" for name, one in value.items())
    if isinstance(value, (list, tuple)):
        if not value:
            return NOTHING.get(key) or t("none")
        if any(isinstance(one, (list, tuple, dict)) for one in value):
            return _part("", value)
        return listed([value_called(key, one, unit) for one in value])
    return str(shown(Amount(value, unit))) if unit else number(int(value))


def typed_called(key: str, way: str, typed: str) -> str:
    """What somebody typed or chose, as a page says it: a plain number with the unit that it stands for, a word as it is
    called; what has its unit, or is a list, as it was typed. ``way``: what kind of value the field takes."""
    if way == "yes or no":
        return str(YES_NO.get(typed, typed))
    if way in ("length", "angle") and typed.isdecimal():
        return mm(float(typed)) if way == "length" else str(shown(Amount(int(typed), "degrees")))
    return day(typed) if way == "day" else called(key, typed)


def _part(name: str, value: Any) -> str:
    """A length, or an angle, or from where to where; a word as it is."""
    if isinstance(value, (list, tuple)):
        if len(value) == 2 and not any(isinstance(one, (list, tuple, dict)) for one in value):
            return t("{low} to {high}", low=_part(name, value[0]), high=_part(name, value[1]))
        return "; ".join(_part(name, one) for one in value)
    if isinstance(value, dict):
        return ", ".join(f"{key}: {_part(key, one)}" for key, one in value.items())
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return str(shown(Amount(value, "degrees"))) if name in _ANGLES else mm(float(value))
    return str(shown(Word(str(value))))
