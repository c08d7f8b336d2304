"""Profiles from files: the bundled us and un, or a local file that extends one and only tightens it, but for what the
law of a state may choose."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import lru_cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from seatplan import units
from seatplan.files.errors import InputError, Problem, brief, near_word
from seatplan.files.library import is_path
from seatplan.files.places import Document
from seatplan.files.reading import read
from seatplan.message import Amount, Figure, Name, Word, joined, said
from seatplan.units import Number
from seatplan.written import NAME, as_name, visible

from .profile import Profile, RulesFile, Threshold

BUNDLED = ("us", "un")
#: letters of a source
MOST_SOURCE = 300
_KEYS = ("profile", "extends", "thresholds", "law", "must", "notes")


@lru_cache(maxsize=2)
def bundled_profile(name: str) -> Profile:
    """The us or un profile. KeyError for another name."""
    if name not in BUNDLED:
        raise KeyError(name)
    document = read(Path(__file__).resolve().parent.parent / "data" / "profiles" / f"{name}.yaml")
    thresholds = {
        key: Threshold(key, _value(t["value"], t["unit"]), t["unit"], t["stricter"], t["source"])
        for key, t in document.data["thresholds"].items()
    }
    by_law = {
        key: replace(thresholds[key], value=_value(option["value"], thresholds[key].unit), source=option["source"])
        for key, option in document.data.get("law", {}).items()
    }
    return Profile(name, name, thresholds, frozenset(), document.data["flags"], by_law)


def _no_text(value: object) -> Number:
    raise units.UnitError(said("expected a plain number, in percent"))


def _value(value: Any, unit: str) -> Number:
    """A number of a bundled profile; a mass in kg, or in the unit that its source prints."""
    if unit == "kg":
        return units.mass(value if isinstance(value, str) else f"{value} kg")
    return float(value)


_READERS: dict[str, Callable[[object], Number]] = {"mm": units.length_mm, "kg": units.mass,
                                                   "months": units.duration_months, "%": _no_text}


def load_profile(ref: str) -> Profile:
    """A profile by name or path. Raises InputError: unknown name, or a file that loosens what it extends."""
    if ref in BUNDLED:
        return bundled_profile(ref)
    if not is_path(ref):
        told = said('no rules are called "{ref}"; expected us, un or a path ending in .yaml', ref=brief(ref))
        raise InputError([Problem(ref, 0, 0, told, found=ref, allowed={"one_of": list(BUNDLED)})])
    return _Local(read(ref, kind="profile")).profile()


def named_rules_problems(ref: str, document: Document) -> list[Problem]:
    """What is wrong with the rules that a trip names; what has no place of its own is told where they are named."""
    try:
        load_profile(ref)
    except InputError as error:
        return [problem if problem.line else document.problem(("rules",), problem.text, allowed=problem.allowed)
                for problem in error.problems]
    return []


class _Local:
    """One local file being read; all its problems are collected first."""

    def __init__(self, document: Document) -> None:
        self._document, self._data = document, document.data
        self._problems: list[Problem] = []

    def profile(self) -> Profile:
        for key in self._data:
            if key not in _KEYS:
                self._say(
                    (key,),
                    said('unknown key "{key}"; {near_word}', key=brief(key), near_word=near_word(key, _KEYS)),
                    at_key=True,
                )
        written, base_name = self._data.get("profile"), self._data.get("extends")
        name = as_name(written) if isinstance(written, str) else None
        if name is None or name in BUNDLED:
            allowed = said("expected a name of its own") if name or not written else NAME
            self._say(("profile",), said("profile is {shown}; {allowed}", shown=_shown(written), allowed=allowed))
        if base_name not in BUNDLED:
            self._say(("extends",), said("extends is {shown}; expected us or un", shown=_shown(base_name)),
                      allowed={"one_of": list(BUNDLED)})
            raise InputError(self._problems)
        base = bundled_profile(base_name)
        thresholds = {**self._thresholds(base), **self._law(base)}
        must = self._must()
        if self._problems:
            raise InputError(self._problems)
        text = self._document.text
        file = RulesFile(Path(self._document.name).name, text, sha256(text.encode()).hexdigest())
        return Profile(name or "", base.base, thresholds, must, base.flags, file=file)

    def _thresholds(self, base: Profile) -> dict[str, Threshold]:
        merged = dict(base.thresholds)
        given = self._data.get("thresholds") or {}
        if not isinstance(given, dict):
            self._say(("thresholds",), said("thresholds are no `name: value` lines"))
            return merged
        for name, value in given.items():
            old = base.thresholds.get(name)
            if old is None:
                self._say(("thresholds", name), said('unknown threshold "{name}"; {near_word}', name=brief(name),
                                                     near_word=near_word(name, base.thresholds)), at_key=True)
                continue
            merged[name] = self._threshold(name, value, old, base) or old
        return merged

    def _law(self, base: Profile) -> dict[str, Threshold]:
        """What the law of a state has in place of a threshold of the directive, which leaves it the choice."""
        found: dict[str, Threshold] = {}
        given = self._data.get("law") or {}
        if not isinstance(given, dict):
            self._say(("law",), said("law is no `name: value` lines"))
            return found
        for name, value in given.items():
            option = base.by_law.get(name)
            if option is None:
                allowed = joined(", ", sorted(base.by_law)) if base.by_law else said("`thresholds`, which only tighten")
                self._say(("law", name), said('"{name}" is nothing that the law of a state may choose under {base}; '
                                              "expected {allowed}", name=brief(str(name)), base=base.name,
                                              allowed=allowed), at_key=True)
            elif name in (self._data.get("thresholds") or {}):
                self._say(("law", name), said("{name} stands under `thresholds` too; expected it once",
                                              name=name), at_key=True)
            else:
                made = self._threshold(name, value, option, base, "law")
                found.update({name: made} if made is not None else {})
        return found

    def _threshold(self, name: str, value: Any, old: Threshold, base: Profile,
                   under: str = "thresholds") -> Threshold | None:
        """A threshold as the file has it: a number, or one with its source. None where something is wrong with it."""
        loc = (under, name)
        source: Name | None = Name(visible(self._document.name))
        if isinstance(value, dict):
            for key in value:
                if key not in ("value", "source"):
                    allowed = near_word(str(key), ("value", "source"))
                    self._say((*loc, key), said('unknown key "{key}" of {name}; {allowed}', key=brief(str(key)),
                                                name=name, allowed=allowed), at_key=True)
            if "source" in value:
                source = _source(value["source"])
            if source is None:
                self._say((*loc, "source"), said("source of {name} is {shown}; expected text of 1 to {MOST_SOURCE} "
                                                 "characters", name=name, shown=_shown(value["source"]),
                                                 MOST_SOURCE=MOST_SOURCE))
                return None
            value = value.get("value")
        number = self._number(loc, value, old)
        if number is None:
            return None
        if number != old.value and (number > old.value) != (old.stricter == "higher"):
            both = {"name": name, "number": Amount(number, old.unit), "value": Amount(old.value, old.unit)}
            self._say(loc, said("{name} is {number}, looser than {value}, which is as far as a state may go ({source})",
                                **both, source=Word(old.source)) if under == "law" else
                      said("{name} is {number}, looser than {value} of "
                           "{name_2}; a local file may only make it {stricter}", **both, name_2=base.name,
                           stricter=Word(old.stricter)))
            return None
        return Threshold(name, number, old.unit, old.stricter, source or old.source)

    def _number(self, loc: tuple[str, ...], value: Any, old: Threshold) -> Number | None:
        number: Number
        if isinstance(value, (int, float)) and not isinstance(value, bool) and old.unit != "kg":
            number = float(value)
        else:
            try:
                number = _READERS[old.unit](value)
            except units.UnitError as error:
                self._say(loc, said("{loc} is {shown}; {error}", loc=loc[-1], shown=_shown(value), error=error))
                return None
        if not 0 <= number < float("inf"):
            self._say(loc, said("{loc} is {number}; expected 0 {unit} or more", loc=loc[-1], number=Figure(number),
                                unit=Word(old.unit)), allowed={"at_least": 0, "unit": old.unit})
            return None
        return number

    def _must(self) -> frozenset[str]:
        from .registry import RULES

        given = self._data.get("must") or []
        if not isinstance(given, list):
            self._say(("must",), said("must is no list; expected [rule, rule]"))
            return frozenset()
        known = {rule.id for rule in RULES}
        for i, name in enumerate(given):
            if not isinstance(name, str) or name not in known:
                self._say(("must", i), said("no rule is called {shown}; {near_word}", shown=_shown(name),
                                            near_word=near_word(str(name), known)), allowed={"one_of": sorted(known)})
        return frozenset(name for name in given if isinstance(name, str) and name in known)

    def _say(self, loc: tuple[str | int, ...], text: str, at_key: bool = False,
             allowed: Mapping[str, Any] | None = None) -> None:
        self._problems.append(self._document.problem(loc, text, at_key, allowed=allowed))


def _shown(value: Any) -> str:
    from seatplan.files.validate import shown  # what it needs is heavy, and only errors need it

    return said("not given") if value is None else shown(value)


def _source(value: object) -> Name | None:
    """Where a number is from: text on one line, nothing in it that cannot be seen. None for anything else."""
    text = " ".join(value.split()) if isinstance(value, str) else ""
    return Name(text) if 0 < len(text) <= MOST_SOURCE and text.isprintable() else None
