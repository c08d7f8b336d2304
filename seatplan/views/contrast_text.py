"""One arrangement against another in words: who rides otherwise, what is lost, what is gained."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from seatplan.rules.finding import Finding
from seatplan.rules.subjects import Placement
from seatplan.solver.contrast import Asked, Contrast
from seatplan.solver.results import Arrangement, Plan

from .along_text import recline_text
from .caution import CAUTION
from .conflict_text import conflict_text
from .drawing import draw
from .repairs_text import repairs_text
from .text import listed, mm, table, wrapped
from .words import VERDICTS, held_by, in_what, sentence, who_where

#: criterion -> what its points count, for each of the two
_POINTS = {
    "protection": "steps away from the most protective mode",
    "cautions": "cautions",
    "wishes": "wishes not kept",
    "moves": "changes from today",
    "method": "restraints held by the belt rather than by lower anchors",
    "centre": "youngest child away from the centre",
}


def against_text(plan: Plan, found: Contrast) -> str:
    """Two arrangements of the list, by their numbers."""
    one, other = found.one, found.other
    head = f"Arrangement {one.rank} against {other.rank}: {plan.trip.trip}"
    parts = _parts(found, f"arrangement {one.rank}", f"arrangement {other.rank}")
    return "\n\n".join([_head(plan, head), *parts, _tail()]) + "\n"


def asked_text(asked: Asked) -> str:
    """Why not as asked."""
    plan, what = asked.plan, _wished(asked)
    parts = [_head(plan, f"Why not {what}: {plan.trip.trip}")]
    if asked.same:
        parts.append(wrapped(f"The best arrangement has {what}."))
    elif asked.contrast is not None:
        one = asked.contrast.one
        parts.append(wrapped(f"It can be had: with {what} the best arrangement {_verdict(one)}. Against the best of "
                             "all it differs in this:"))
        parts.append(draw(one, plan.trip))
        parts.extend(_parts(asked.contrast, "as asked", "the best"))
    elif plan.arrangements:
        parts.append(wrapped(f"It can be had with {what}, and only so."))
    else:
        if asked.best is not None:
            parts.append(wrapped(f"Nothing fits with {what}; without that, something does. You asked for it here, so "
                                 "it is among the things that rule each other out:"))
        else:
            parts.append(wrapped(f"Nothing fits with {what}, nor without it:"))
        if asked.explanation is None:
            parts.append("The search stopped at its limit before it could tell why.")
        else:
            strict = plan.strict
            parts += [conflict_text(asked.explanation, strict, asked=True),
                      repairs_text(asked.explanation.repairs, strict, asked=True)]
    return "\n\n".join([*parts, _tail()]) + "\n"


def _head(plan: Plan, first: str) -> str:
    invented = " (invented)" if plan.trip.vehicle.invented else ""
    return first + "\n" + wrapped(f"in {plan.trip.vehicle.vehicle}{invented}, rules {plan.profile.name}, "
                                  f"{plan.day.isoformat()}")


def _tail() -> str:
    return wrapped(f"caution: {CAUTION}")


def _wished(asked: Asked) -> str:
    wish = asked.wish
    return f"{wish.rider} at {listed(wish.at, 'or')}" if wish.at else f"{wish.rider} in {listed(wish.uses or (), 'or')}"


def _verdict(arrangement: Arrangement) -> str:
    return {"fits": "fits", "close": "is close, to be tried in the car"}.get(
        arrangement.verdict, "hangs on what was not measured")


def _parts(found: Contrast, one: str, other: str) -> Iterator[str]:
    if not found.moved:
        yield "Everybody rides alike in both."
    else:
        yield "Who rides otherwise\n" + table(["rider", "", "seat", "in", "held by"], _moves(found, one, other), "   ")
    worse, better = _points(found, one, other, True), _points(found, one, other, False)
    yield _block(f"What {_name(one)} loses", [*worse, *_said(found.only_one)])
    yield _block(f"What {_name(one)} gains", [*better, *(f"no longer: {said}" for said in _said(found.only_other))])


def _name(which: str) -> str:
    return "it" if which == "as asked" else which


def _block(head: str, lines: Sequence[str]) -> str:
    return "\n".join([head, *[wrapped(line, "   - ", "     ") for line in lines or ["nothing"]]])


def _moves(found: Contrast, one: str, other: str) -> Iterator[list[str]]:
    for a, b in found.moved:
        yield [a.rider.rider, one, a.position.position, in_what(a), _held(a)]
        yield ["", other, b.position.position, in_what(b), _held(b)]


def _held(placement: Placement) -> str:
    lean = recline_text(placement).split(" (")[0] if placement.rear_facing else ""
    return held_by(placement) + (f", {lean}" if lean else "")


def _points(found: Contrast, one: str, other: str, worse: bool) -> Iterator[str]:
    """The criteria in which the first is worse, or better; most important first."""
    for criterion in found.criteria:
        if (criterion.one > criterion.other) != worse:
            continue
        if criterion.name == "certainty":
            yield (f"how sure it is: {VERDICTS[found.one.verdict]} {_in(one)}, {VERDICTS[found.other.verdict]} "
                   f"{_in(other)}, counting every row and everything to be measured")
        elif criterion.name == "room":
            yield (f"room to spare in the tightest row: {_spare(found.one)} {_in(one)}, {_spare(found.other)} "
                   f"{_in(other)}")
        else:
            yield f"{_POINTS[criterion.name]}: {criterion.one} {_in(one)}, {criterion.other} {_in(other)}"


def _in(which: str) -> str:
    return which if which == "as asked" else f"in {which}"


def _spare(arrangement: Arrangement) -> str:
    spare = arrangement.spare_mm
    if spare is None:
        return "without limit"
    return f"{mm(int(spare // 1))}" if spare >= 0 else f"{mm(-spare)} short"


def _said(findings: Sequence[Finding]) -> list[str]:
    return [f"{'caution' if f.outcome == 'caution' else 'to measure'}: {who_where(f)}: {sentence(f)} ({f.rule})"
            for f in findings]
