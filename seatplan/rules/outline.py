"""Is the whole shape of a restraint listed: a part that nobody measured would have room everywhere."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.fields import field, named
from seatplan.message import in_mm, part_label, said

from .finding import Result, lacks, passes
from .rule import rule

if TYPE_CHECKING:
    from seatplan.model import Installation, Mode, Part, Restraint

    from .subjects import Placement, RuleContext


def _has_shell(p: Placement) -> bool:
    return p.harness or p.mode_name in ("high-back-booster", "impact-shield")


def _unbounded(p: Placement, w: RuleContext) -> bool:
    from seatplan.geometry.outline import bounded

    return p.mode is not None and not bounded(p.mode, p.installation)


@rule(
    "outline-not-whole",
    title="A part of the restraint was not measured",
    source="follows from the file: only what is listed is kept clear of walls, neighbours and the seat ahead",
    depends=("restraint", "mode", "installation"),
    fact=("restraint", "mode"),
    reads=("mode.parts", "installation.parts", "mode.seat_up", "mode.shell_height", "mode.recline"),
    remedy="measure every part that sticks out, up to the top of the shell or head support",
    when=_unbounded,
    says={
        "block": "the parts of {restraint} that are listed are not the whole of it",
        "pass": "the parts of {restraint} that are listed are the whole of it",
    },
)
def outline_not_whole(p: Placement, w: RuleContext) -> Result:
    """The listed parts are not the whole of the restraint, so nobody can say that it has room.

    Checks: that every part has its along, up and width; and for shells and the backs of boosters that some part is
        listed at every height from the seat surface, `seat_up`, to the top, `seat_up + shell_height` as it leans at its
        reference; for rear-facing shells also below the whole length of their back.
    Why: wings or a foot end that are not listed press on the neighbour or the seat ahead all the same.
    Limits: parts that stick out sideways at a height where another one is listed are not missed. A restraint of which
        the envelope is given is bounded by that.
    Blocks: nothing; open for a booster whose parts end at 420 mm and whose head support ends at 800 mm.
    """
    mode, restraint = p.mode, p.restraint
    assert mode is not None
    assert restraint is not None
    parts = [*mode.parts, *(p.installation.parts if p.installation else ())]
    if not parts:
        return lacks(field("mode.parts", restraint=restraint.restraint))
    unmeasured = next(filter(None, (_unmeasured(part, restraint) for part in parts)), None)
    if unmeasured is not None:
        return unmeasured
    if not _has_shell(p):
        return passes(len(parts))
    return _up_to_the_top(mode, restraint, p.installation) or passes(len(parts))


def _unmeasured(part: Part, restraint: Restraint) -> Result | None:
    """What nobody measured of a part."""
    called = part_label(restraint.restraint, part.part)
    if part.outline is None and (part.along is None or part.up is None):
        return lacks(field("mode.parts.outline", part=called))
    if part.width is None:
        return lacks(field("mode.parts.width", part=called))
    return None


def _up_to_the_top(mode: Mode, restraint: Restraint, installation: Installation | None) -> Result | None:
    """What nobody measured between the seat surface and the top of a shell, or along its back."""
    from seatplan.geometry.outline import unlisted

    if mode.shell_height is None:
        return lacks(field("mode.shell_height"))
    if mode.seat_up is None:
        return lacks(field("mode.seat_up"))
    gap = unlisted(mode, installation, restraint.tolerance)
    if gap is None:
        return None
    if gap.up:
        return lacks(field("mode.parts", restraint=restraint.restraint)._replace(field=named("mode.parts", said(
            "what {restraint} has from {start:bare} to {end} above the cushion", restraint=restraint.restraint,
            start=in_mm(gap.start), end=in_mm(gap.end)))))
    return lacks(field("mode.parts", restraint=restraint.restraint)._replace(field=named("mode.parts", said(
        "what {restraint} has from {start:bare} to {end} forward of the crease", restraint=restraint.restraint,
        start=in_mm(gap.start), end=in_mm(gap.end)))))


