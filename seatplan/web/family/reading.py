"""One reading as a page asks for it, by the kind of its value; what comes back is put together as the files have it.

A field of the form is ``f3:2C.belt.length``, or ``f3.PART:...`` for a part of a value: one of two lengths by its place,
one of several words by itself. The number tells those apart that ask for the same.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from xml.etree.ElementTree import Element

from seatplan.app.errors import Problem
from seatplan.app.measure import Value
from seatplan.frozen import frozen
from seatplan.views.answers import ANSWERS, FROM_TO, HOW, NOTHING, PAIRS, PARTS, YES_NO, called
from seatplan.views.markup import el
from seatplan.views.say import t
from seatplan.views.text import mm
from seatplan.web.failing import problem_said
from seatplan.web.fields import Typed
from seatplan.web.fields import field as asked

from .asks import Ask, Way

#: of a list of words: that it is empty
NONE = "none"
#: more words than these are a list to open
_CHIPS = 6
#: characters that would end a value in a list of a file
_ENDS = set(",[]{}#:\"'")

#: heights above the cushion at which the free length ahead is taken, mm
_HEIGHTS = (0, 300, 600, 900)
#: what labels print as a range, and is typed as one
_RANGES = {"mode.limits.mass": "10-29 kg", "mode.limits.height": "76-124 cm"}
#: what a value looks like that only a file has words for
EXAMPLES = {
    "row.trim": "[{name: door, left: 0, right: 1460}]",
    "row.lower_anchors": "[{bar: a, across: 155}, {bar: b, across: 435}]",
    "row.tethers": "[{tether: t1, across: 300, along: -400, up: 520}]",
    "row.parts": "[{positions: [2L, 2C], slides: 150}, {positions: [2R], slides: 150}]",
    "row.cushion.gaps": "[[430, 470]]",
    "position.ahead.gap": "[[300, 640], [600, 585]]",
    "position.exit": "door",
    "rider.belt_fit.position": "2L",
    "restraint.limits": "{mass: 10-29 kg, height: 76-124 cm}",
    "mode.parts": "[{part: base, along: [30, 520], up: [0, 180], width: 360}]",
    "mode.recline.allowed": "[30, 45]",
    "mode.recline.settings": "[32, 38, 44]",
    "installation.needs_tether": "{from: 18 kg}",
}
_WAYS: dict[str, tuple[Way, str]] = {"length": ("length", "430"), "mass": ("mass", "15 kg"), "angle": ("angle", "14"),
                                     "day": ("day", "")}


@dataclass(slots=True)
class Left:
    """What was typed and not written, by the name of its field and by the part of its value, and why."""

    values: dict[str, dict[str, str]] = field(default_factory=dict)
    wrong: dict[str, list[Problem]] = field(default_factory=dict)


def typed_in(form: Mapping[str, str]) -> dict[str, dict[str, str]]:
    """What was typed, by the names of fields, part by part."""
    found: dict[str, dict[str, str]] = {}
    for key, value in form.items():
        at, colon, name = key.partition(":")
        number, _, part = at.partition(".")
        if colon and number.startswith("f") and value.strip():
            found.setdefault(name, {})[part] = value.strip()
    return found


def written(parts: Mapping[str, str]) -> str:
    """A value as the files have it, of its parts."""
    if "" in parts:
        return parts[""]
    if parts.keys() <= {"0", "1"}:
        return f"[{', '.join(_in_list(parts[one]) if one in parts else '' for one in ('0', '1'))}]"
    return "[]" if parts.keys() == {NONE} else f"[{', '.join(map(_in_list, parts.values()))}]"


def _in_list(value: str) -> str:
    return json.dumps(value, ensure_ascii=False) if _ENDS & set(value) else value


@frozen
class Question:
    """One field that is asked for: its ``name``, its ``value`` (None: there is no such field), what it is called.
    ``inner``: it stands among others that are filled in at one go, which say together what an answer looks like."""

    name: str
    value: Value | None
    label: str
    how: str = ""
    inner: bool = False


def asked_in_parts(name: str, key: str, value: Value) -> list[tuple[str, str]]:
    """The names of the fields that are asked for in place of one, each with what it is called; none where that is
    asked for itself. ``key``: what the table of fields calls it."""
    if value.key in ("position.ahead", "position.ahead.gap") and value.way != "length":
        gap = name if value.key.endswith(".gap") else f"{name}.gap"
        return [(f"{gap}@{height}", t("{height} above it", height=mm(height)) if height else t("at the cushion"))
                for height in _HEIGHTS]
    if value.way not in ("record", "written"):
        return []
    return [(name + behind, t(told)) for behind, told in PARTS.get(key) or PARTS.get(value.key, ())]


def control(at: str, one: Question, left: Left) -> Element:
    """The field, or fields, of one question. ``at``: what tells it from the others of the page."""
    value = one.value
    if value is not None and value.key not in _RANGES:
        if value.way == "two":
            return _two(at, one, value, left)
        if value.way == "words":
            return _several(at, one, value, left)
    return asked(_ask(at, one), _typed(at, one, left, [""]))


def _typed(at: str, one: Question, left: Left, parts: Sequence[str]) -> Typed:
    """What stands in the fields of its parts; what is wrong stands at the first."""
    names = [_named(at, part, one.name) for part in parts]
    typed = left.values.get(one.name, {})
    wrong = left.wrong.get(one.name, ())
    return Typed({}, {name: typed.get(part, "") for name, part in zip(names, parts, strict=True)},
                 {names[0]: wrong} if wrong else {})


def _named(at: str, part: str, name: str) -> str:
    return f"{at}.{part}:{name}" if part else f"{at}:{name}"


def _ask(at: str, one: Question) -> Ask:
    plain = Ask((_named(at, "", one.name),), one.label, one.how, at=at)
    value = one.value
    if value is None:
        return plain
    choices = _choices(value)
    if choices:
        return replace(plain, way="choice" if len(choices) <= _CHIPS else "pick", choices=choices)
    if value.key in _RANGES:
        return replace(plain, way="range", example=_RANGES[value.key])
    way, example = _WAYS.get(value.way, ("text", EXAMPLES.get(value.key, "")))
    return replace(plain, way=way, example="" if one.inner and way != "text" else example)


def _choices(value: Value) -> dict[str, str]:
    """What may be chosen, with what it is called; of a place that is there or not, that alone."""
    if value.way == "yes or no":
        return {word: YES_NO[word] for word in YES_NO}
    words = value.words or (tuple(ANSWERS[value.key]) if value.way == "written" and value.key in ANSWERS else ())
    return {word: called(value.key, word) for word in words}


def _two(at: str, one: Question, value: Value, left: Left) -> Element:
    """Two values side by side."""
    typed = _typed(at, one, left, ["0", "1"])
    way, _ = _WAYS.get(value.of, ("text", ""))
    pair = [Ask((_named(at, part, one.name),), t(told), way=way, at=f"{at}.{part}")
            for part, told in zip(("0", "1"), PAIRS.get(value.key, FROM_TO), strict=True)]
    return together(at, one.label, one.how if one.inner else with_length(one.how, [value]),
                    [asked(ask, typed) for ask in pair])


def _several(at: str, one: Question, value: Value, left: Left) -> Element:
    """Any of some words, or that it is none of them."""
    typed = left.values.get(one.name, {})
    words = {NONE: NOTHING.get(value.key) or t("none"), **{word: called(value.key, word) for word in value.words}}
    wrong = left.wrong.get(one.name, ())
    return el("fieldset", el("legend", one.label), el("span", one.how, id=f"{at}-how", class_="how"),
              el("div", [el("label", el("input", type="checkbox", name=_named(at, word, one.name), value=word,
                                        checked=word in typed, id=f"{at}={word}"), el("span", told))
                         for word, told in words.items()], class_="chips"),
              el("div", [el("span", problem_said(replace(problem, line=0))) for problem in wrong], id=f"{at}-wrong",
                 class_="amiss"), class_="ask chosen", id=f"{at}-ask", aria_describedby=f"{at}-how {at}-wrong")


def with_length(how: str, values: Iterable[Value | None]) -> str:
    """How to answer, and once what a length looks like, where there is one."""
    if not any(value is not None and "length" in (value.way, value.of) for value in values):
        return how
    return f"{how} {t('Such as {example}.', example=mm(float(_WAYS['length'][1])))}".strip()


def together(at: str, label: str, how: str, fields: Sequence[Element]) -> Element:
    """Fields that are filled in at one go, below what they are about."""
    return el("fieldset", el("legend", label), el("span", how, id=f"{at}-how", class_="how") if how else None,
              el("div", list(fields), class_="in-one-go"), class_="ask chosen",
              aria_describedby=f"{at}-how" if how else None)


def how_asked(value: Value, key: str, how: str) -> str:
    """How to answer, as a page says it. ``key``: of what, as the table of fields names it."""
    told = HOW.get(value.key) or HOW.get(key)
    return told or (how[:1].upper() + how[1:] + "." if how else "")
