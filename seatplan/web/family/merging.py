"""What was typed into the form of a file: taken field by field, and merged with what somebody else wrote meanwhile.

Each form brings back what its fields held when it was made. What somebody typed is what differs from that; it is put
into the file as the file is now, so that two people at two fields never meet. Where both changed the same field,
nothing is written there: the field keeps what was typed, says what the file holds by now, and a button of its own puts
what was typed in its place; no other save does. Where the other one changed who rides or which seats there are, fields
are no longer what they were called, and nothing is written at all.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from seatplan.app.errors import InputError, Problem, Unwritten
from seatplan.app.filling import Fill, Kind, Path, filled, standing
from seatplan.app.shelf import Changed, Held, Shelf
from seatplan.frozen import frozen
from seatplan.message import Name, said
from seatplan.model.doubt import Doubt
from seatplan.web.fields import Typed, answer_in, as_written

from .asks import Ask

#: so often a file is read again that somebody else writes at the same time
_TRIES = 20


class Moved(Exception):
    """Who rides, which seats there are: that is not what the form was made for any more. Nothing was written."""


@dataclass(slots=True)
class Form:
    """One file behind a form: what it holds, and what came of what was typed. ``questions``: what is asked of such
    data; ``prefix``: what its fields begin with in the form."""

    held: Held
    kind: Kind
    prefix: str
    data: dict[str, Any]
    questions: Callable[[Mapping[str, Any]], list[Ask]]
    typed: dict[str, str] = field(default_factory=dict)
    wrong: dict[str, list[Problem]] = field(default_factory=dict)
    whole: list[Problem] = field(default_factory=list)
    doubts: dict[str, Doubt] = field(default_factory=dict)
    #: fields that somebody else changed, too -> what they held before both
    met: dict[str, str] = field(default_factory=dict)
    #: the file could not be written
    unwritten: bool = False
    #: of the data before and after what was typed, what changes with that
    follows: Callable[[Mapping[str, Any], Mapping[str, Any]], list[Fill]] | None = None

    @property
    def shown(self) -> Typed:
        """For its fields."""
        return Typed(self.data, self.typed, self.wrong, self.prefix, self.doubts, frozenset(self.met))

    @property
    def amiss(self) -> bool:
        """Whether something that was typed was not taken."""
        return bool(self.typed or self.whole)

    def was(self) -> str:
        """What its fields hold now, for the form to bring back."""
        fields = {ask.name: self.met.get(self.prefix + ask.name, answer_in(ask, self.data))
                  for ask in self.questions(self.data)}
        return json.dumps({"fields": fields, "shape": _shape(self.data)}, ensure_ascii=False, separators=(",", ":"))


def form_of(held: Held, kind: Kind, prefix: str, questions: Callable[[Mapping[str, Any]], list[Ask]]) -> Form:
    """The form of a file. Raises InputError for what is no YAML of ours."""
    return Form(held, kind, prefix, standing(kind, held.text, held.path), questions)


def _shape(data: Mapping[str, Any]) -> dict[str, str]:
    """What numbered things of a file are called and which kind they are, so that a field still means the same."""
    told: dict[str, str] = {"kind": as_written(data["kind"])} if "kind" in data else {}
    for what, key in (("riders", "rider"), ("restraints", "restraint")):
        for k, one in enumerate(data.get(what) or ()):
            told[f"{what}.{k}.{key}"] = as_written(one.get(key) or one.get("use") if isinstance(one, Mapping) else one)
            if isinstance(one, Mapping) and "kind" in one:
                told[f"{what}.{k}.kind"] = as_written(one["kind"])
    for k, row in enumerate(data.get("rows") or ()):
        for n, seat in enumerate((row.get("positions") if isinstance(row, Mapping) else None) or ()):
            told[f"rows.{k}.positions.{n}.position"] = as_written(
                seat.get("position") if isinstance(seat, Mapping) else seat)
    return told


@frozen
class _Was:
    """What a form held when it was made."""

    fields: Mapping[str, Any]
    shape: Mapping[str, Any]


def _brought(one: Form, form: Mapping[str, str]) -> _Was | None:
    """What the form says that it held; None where it does not say."""
    try:
        read = json.loads(form.get(f"{one.prefix}was", ""))
    except (ValueError, RecursionError):
        return None
    if not isinstance(read, dict):
        return None
    fields, shape = read.get("fields"), read.get("shape")
    return _Was(fields, shape) if isinstance(fields, dict) and isinstance(shape, dict) else None


def take(one: Form, library: Shelf, form: Mapping[str, str]) -> None:
    """Write what reads of what was typed; keep the rest with what is wrong with it.

    Raises Moved. Where the file cannot be written, everything is kept as it was typed.
    """
    change(one, library, form, [])


def change(one: Form, library: Shelf, form: Mapping[str, str], more: Sequence[Fill]) -> bool:
    """The same, and ``more`` beside it: whether that was written. Raises what ``take`` raises."""
    was = _brought(one, form)
    for _ in range(_TRIES):
        one.typed, one.wrong, one.whole, one.met = {}, {}, [], {}
        if was is not None:
            _same_shape(one, was, form)
        fills = _fills(one, was, form)
        text, done = _changed(one, dict(fills), more)
        text = _with_what_follows(one, text)
        if text == one.held.text:
            return done
        try:
            one.held = library.save(one.held.number, text, one.held.version)
        except Changed:
            one.held = library.held(one.held.number)
            one.data = standing(one.kind, one.held.text, one.held.path)
            continue
        except Unwritten as error:
            one.whole, one.unwritten = [error.problem], True
            one.typed |= {name: form[name] for name in fills}
            return False
        one.data = standing(one.kind, text, one.held.path)
        return done
    one.whole = [Problem("", 0, 0, said("somebody else writes this file all the time; nothing was written: send it "
                                        "again"))]
    return False


def left_over(one: Form, form: Mapping[str, str]) -> dict[str, str]:
    """What was changed in the form in fields that the file has no place for by now, by their names."""
    was, asked = _brought(one, form), {ask.name for ask in one.questions(one.data)}
    return {} if was is None else {
        name: form[one.prefix + name] for name, before in was.fields.items()
        if name not in asked and form.get(one.prefix + name, before) != before}


def _same_shape(one: Form, was: _Was, form: Mapping[str, str]) -> None:
    """Raises Moved where numbers mean something else by now; what was renamed here is the same."""
    now = _shape(one.data)
    if now.keys() != was.shape.keys() or any(
            told != was.shape[name] and told != form.get(one.prefix + name, "").strip() for name, told in now.items()):
        raise Moved


def _fills(one: Form, was: _Was | None, form: Mapping[str, str]) -> dict[str, Fill]:
    """The fields that somebody changed in the form; what the file holds another answer to by now is kept as typed."""
    fills = {}
    for ask in one.questions(one.data):
        name = one.prefix + ask.name
        if name not in form:
            continue
        typed, now = form[name].strip(), answer_in(ask, one.data)
        before = now if was is None else was.fields.get(ask.name, now)
        if typed in (now, before):
            continue
        if before == now or form.get("do") == f"mine:{name}":
            fills[name] = ask.fill(typed, one.data)
            continue
        one.typed[name], one.met[name] = form[name], str(before)
        one.wrong[name] = [Problem("", 0, 0, said(
            "somebody else wrote {now} here meanwhile; what you typed is not written", now=Name(now)) if now else said(
            "somebody else emptied this meanwhile; what you typed is not written"))]
    return fills


def _changed(one: Form, fills: dict[str, Fill], more: Sequence[Fill]) -> tuple[str, bool]:
    """The file's text with all of it that reads; and whether ``more`` is in it."""
    text = one.held.text
    while fills:
        try:
            text = filled(one.kind, one.held.text, one.held.path, fills.values())
            break
        except InputError as error:
            left = _without_wrong(one, fills, error.problems)
            if len(left) == len(fills):
                one.whole = list(error.problems)
                one.typed |= {name: fill.typed or "" for name, fill in fills.items()}
                break
            fills = left
    if not more:
        return text, False
    try:
        return filled(one.kind, text, one.held.path, more), True
    except InputError as error:
        one.whole = [*one.whole, *error.problems]
        return text, False


def _with_what_follows(one: Form, text: str) -> str:
    """The text with what changes with the rest of it; as it is where that would not read."""
    if one.follows is None or text == one.held.text:
        return text
    try:
        more = one.follows(one.data, standing(one.kind, text, one.held.path))
        return filled(one.kind, text, one.held.path, more) if more else text
    except InputError:
        return text


def _without_wrong(one: Form, fills: Mapping[str, Fill], problems: Sequence[Problem]) -> dict[str, Fill]:
    """The fields that nothing is wrong with; the others are kept as they were typed."""
    left = {}
    for name, fill in fills.items():
        wrong = [problem for problem in problems if _about(problem.loc, fill.path)]
        if not wrong:
            left[name] = fill
            continue
        one.typed[name] = fill.typed or ""
        one.wrong[name] = wrong
    return left


def _about(loc: Path, path: Path) -> bool:
    """Whether a problem is of a field, or of what stands in it."""
    return bool(loc) and (loc[:len(path)] == path or (len(loc) > 2 and path[:len(loc)] == loc))
