"""The rules, one of them, and the order of arrangements."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Literal

from seatplan.frozen import frozen
from seatplan.message import Name, said
from seatplan.rules.registry import RETIRED, RULES
from seatplan.rules.rule import Rule

from .misasked import one_of
from .outcome import Outcome
from .question import Question, argument
from .verdict import Verdict

if TYPE_CHECKING:
    from seatplan.solver.ranking import Criterion

#: the word that asks for the order of arrangements instead of a rule
ORDER = "order"


@frozen(kw_only=True)
class AskRules(Question):
    """``rule``: only this one, or ``order``; ``profile``: only those of it."""

    COMMAND: ClassVar[str] = "rules"

    rule: str | None = argument(default=None)
    profile: Literal["us", "un"] | None = None


@frozen
class Retired:
    """A rule that there is no more, and the one that took its place."""

    rule: str
    now: str


@frozen
class Listed:
    """All rules, or those of one profile."""

    rules: tuple[Rule, ...]


@frozen
class Order:
    """By what arrangements are put in order, the first first."""

    criteria: tuple[Criterion, ...]


def rules(request: AskRules) -> Outcome[Listed | Rule | Retired | Order]:
    """What a rule says, or all of them, or the order. Raises Misasked."""
    return Outcome(request, _found(request), Verdict.ANSWERED)


def _found(request: AskRules) -> Listed | Rule | Retired | Order:
    if request.rule is None:
        return Listed(tuple(r for r in RULES if request.profile in (None, *r.profiles)))
    if request.rule.casefold() == ORDER:
        from seatplan.solver.ranking import CRITERIA

        return Order(CRITERIA)
    if request.rule in RETIRED:
        return Retired(request.rule, RETIRED[request.rule])
    known = one_of(request.rule, [ORDER, *(r.id for r in RULES)], "rule",
                   said('no rule is called "{word}"', word=Name(request.rule)),
                   said("`seatplan rules` lists them"))
    return next(r for r in RULES if r.id == known)
