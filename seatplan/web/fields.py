"""One question of a form: its label, how to answer it, the control, and beside it what is wrong with what was typed."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import field as of
from dataclasses import replace
from typing import Any
from xml.etree.ElementTree import Element

from seatplan.app.errors import Problem
from seatplan.frozen import frozen
from seatplan.model.doubt import Doubt
from seatplan.views.doubted_text import asked_again
from seatplan.views.markup import el
from seatplan.views.say import t
from seatplan.views.text import listed, mm

from .failing import problem_said
from .family.asks import Ask

#: what a phone's keyboard shows
_KEYS = {"count": "numeric", "length": "text"}
#: one end of a range as a file has it
_ONE_END = re.compile(r"(?P<number>\d+(?:\.\d+)?)\s*(?P<unit>[A-Za-z]*)")
_IN_WORDS = {"": "mm", "y": "years", "yr": "years", "yrs": "years", "year": "years", "mo": "months", "month": "months"}


@frozen
class Typed:
    """What stands in a form: ``data`` is the file's, ``typed`` what somebody wrote that was not taken, by the names of
    fields, and ``wrong`` why; ``doubts``: what was taken and is unlikely; ``met``: what somebody else changed, too."""

    data: Mapping[str, Any]
    typed: Mapping[str, str]
    wrong: Mapping[str, Sequence[Problem]]
    prefix: str = ""
    doubts: Mapping[str, Doubt] = of(default_factory=dict)
    met: frozenset[str] = frozenset()

    def value(self, ask: Ask) -> str:
        """What the field shows."""
        name = self.prefix + ask.name
        return self.typed[name] if name in self.typed else answer_in(ask, self.data)


def standing(data: Any, path: Sequence[str | int]) -> Any:
    """What stands at a path of plain data; None where nothing does."""
    for step in path:
        if isinstance(data, Mapping):
            data = data.get(step)
        elif isinstance(data, (list, tuple)) and isinstance(step, int) and step < len(data):
            data = data[step]
        else:
            return None
    return data


def as_written(value: Any) -> str:
    """A value of a file as a person types it."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(map(as_written, value)) + "]"
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{key}: {as_written(one)}" for key, one in value.items()) + "}"
    return str(value)


def answer_in(ask: Ask, data: Mapping[str, Any]) -> str:
    """The answer that a file holds, as a person types it: of two ends in one unit a range."""
    value = standing(data, ask.path)
    if ask.way in ("range", "ages") and isinstance(value, (list, tuple)) and len(value) == 2:
        ends = [_ONE_END.fullmatch(as_written(end).strip()) for end in value]
        told = [(end["number"], _IN_WORDS.get(end["unit"], end["unit"])) for end in ends if end is not None]
        if len(told) == 2 and told[0][1] == told[1][1]:
            (low, unit), (high, _) = told
            return f"{low} to {high} {unit}" if ask.way == "ages" else f"{low}-{high} {unit}"
    return as_written(value)


def field(ask: Ask, typed: Typed) -> Element:
    """One question. Words of a choice that the file holds and we do not offer are offered, too: they stay."""
    name, value = typed.prefix + ask.name, typed.value(ask)
    at = ask.at or name
    ids = [f"{at}-how"] if ask.how or ask.example else []
    more: dict[str, Any] = {"aria_describedby": " ".join([*ids, f"{at}-wrong"])}
    if ask.way == "choice":
        return el("fieldset", el("legend", ask.label), _how(ask, at),
                  el("div", _chips(ask, name, at, typed, value), class_="chips"), _amiss(name, at, typed),
                  class_="ask chosen", id=f"{at}-ask", **more)
    if ask.way == "pick":
        control = el("select", _options(ask, typed, value), id=at, name=name, **more)
        return el("div", el("label", ask.label, for_=at), _how(ask, at), control, _amiss(name, at, typed),
                  class_="ask", id=f"{at}-ask")
    control = el("input", type="date" if ask.way == "day" else "text", id=at, name=name, value=value,
                 inputmode=_KEYS.get(ask.way), autocomplete="off", spellcheck="false",
                 aria_invalid="true" if typed.wrong.get(name) else None, class_=ask.way, **more)
    return el("div", el("label", ask.label, for_=at), _how(ask, at), control, _amiss(name, at, typed),
              class_="ask", id=f"{at}-ask")


def _how(ask: Ask, at: str) -> Element | None:
    """How to take it, and what an answer looks like: beside the field, where it stays while somebody types."""
    like = mm(float(ask.example)) if ask.example.isdecimal() and ask.way == "length" else ask.example
    told = " ".join([ask.how, *([t("Such as {example}.", example=like)] if like else [])]).strip()
    return el("span", told, id=f"{at}-how", class_="how") if told else None


def _amiss(name: str, at: str, typed: Typed) -> Element:
    """What is wrong with what was typed; or, where it was taken and is unlikely, whether it is so."""
    wrong, doubt = typed.wrong.get(name, ()), typed.doubts.get(name)
    told: list[Element | str] = [el("span", problem_said(replace(problem, line=0))) for problem in wrong]
    if name in typed.met:
        told.append(el("button", t("Put mine in its place"), name="do", value=f"mine:{name}"))
    if doubt is not None and not wrong:
        told = [el("span", asked_again(doubt)),
                el("button", t("Yes, it is so"), name="do", value=f"sure:{name}", class_="sure")]
    return el("div", told, id=f"{at}-wrong", class_="amiss", data_live=True, data_wrong=bool(wrong),
              data_doubt=doubt is not None and not wrong)


def _options(ask: Ask, typed: Typed, value: str) -> list[Element]:
    choices = _choices(ask, typed, value)
    if not value:
        choices = {"": t("not known"), **choices}
    return [el("option", told, value=word, selected=word == value) for word, told in choices.items()]


def _choices(ask: Ask, typed: Typed, value: str) -> dict[str, str]:
    """Each word of the file with what it is called; another one that stands there is offered, too. What the file names
    stands in place of the answer that there is one."""
    told = {word: ask.choices[word] for word in ask.choices} if ask.choices else {}
    if value in ("", *told):
        return told
    names = standing(typed.data, ask.path)
    if not ask.names or as_written(names) != value:
        return {**told, value: t("as the file has it: {value}", value=value)}
    named = {value: t("yes: {names}", names=listed([as_written(one) for one in (
        names if isinstance(names, (list, tuple)) else [names])]))}
    return {**named, **{word: called for word, called in told.items() if word != "yes"}}


def _chips(ask: Ask, name: str, at: str, typed: Typed, value: str) -> list[Element]:
    """A button to tap for each answer; the first is that nobody knows yet, where that can be."""
    choices = _choices(ask, typed, value)
    first = {} if ask.must and value else {"": t("not known")}
    return [el("label", el("input", type="radio", name=name, value=word, checked=word == value,
                           id=f"{at}={word}"), el("span", told)) for word, told in {**first, **choices}.items()]
