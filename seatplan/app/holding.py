"""What speaks against it that a restraint holds, when whoever tried it says that it does: a problem a reading."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from seatplan.files.errors import Problem
from seatplan.message import Amount, FieldName, Message, Name, joined, said
from seatplan.model import Tried
from seatplan.model.restraint import Mode
from seatplan.rules.finding import Finding
from seatplan.rules.registry import rule_by_id
from seatplan.rules.run import Runner
from seatplan.rules.subjects import Placement, RuleContext
from seatplan.rules.tries import not_level, reading, stands_level

#: where no one reading is at fault
_WHOLE = ("holds",)


def speaks_against(tried: Tried, mode: Mode | None, limit: float) -> Iterator[Problem]:
    """What the readings themselves say, each with its reading as ``loc``. ``limit``: of movement, mm."""
    for key in ("sideways", "forwards", "moved"):
        value = reading(tried, key)
        if value is not None and value > limit:
            yield _problem(key, said("{moved}, and at most {limit} is allowed", moved=Amount(value, "mm", "up"),
                                     limit=Amount(limit, "mm", "down")), value, {"at_most": limit})
    if not_level(tried):
        yield _problem("level", said("not level"), "no", {"one_of": ["yes"]})
    if reading(tried, "belt_fits") is False:
        yield _problem("belt_fits", said("the belt does not fit"), "no", {"one_of": ["yes"]})
    allowed = mode.recline.allowed if mode is not None and mode.recline is not None else None
    if mode is not None and allowed and not not_level(tried) and stands_level(tried, mode) is False:
        low, high = allowed
        yield _problem("angle", said("not within {low:bare} to {high}", low=Amount(low, "degrees"),
                                     high=Amount(high, "degrees")), reading(tried, "angle"),
                       {"at_least": low, "at_most": high})


def refused_as_read(tried: Tried, placement: Placement | None, world: RuleContext) -> Iterator[Problem]:
    """What the rules say of who rides in it, with the readings noted. ``placement``: what held; None where nobody may
    ride there like that."""
    if placement is None:
        yield Problem("", 0, 0, said("nobody may ride there like that"), _WHOLE)
        return
    for finding in Runner(world).placement(placement):
        if finding.outcome == "block":
            yield Problem("", 0, 0, _said(finding), _WHOLE)


def _said(finding: Finding) -> Message:
    """What a rule says against it; with the number that was read, where that is told in pieces."""
    result, facts = finding.result, finding.result.facts
    if "what" not in facts or "asked" not in facts:
        return said("{rule}: {title}", rule=Name(finding.rule), title=said(rule_by_id(finding.rule).title))
    found = Amount(result.measured, result.unit) if isinstance(result.measured, (int, float)) else result.measured
    return said("{what} {found}, {asked}", what=facts["what"], found=found, asked=facts["asked"])


def _problem(key: str, text: str, found: Any, allowed: dict[str, Any]) -> Problem:
    return Problem("", 0, 0, joined(": ", (FieldName(key.replace("_", "-")), text)), (key,),
                   None if found is None else str(found), allowed)
