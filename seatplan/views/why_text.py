"""Why, or why not, as text: one block a restraint mode and seat, blocks first, then what passed."""

from __future__ import annotations

from collections.abc import Sequence

from seatplan.rules.finding import ORDER, Finding
from seatplan.rules.registry import gravest_first
from seatplan.solver.placements import JudgedPlacement
from seatplan.solver.why import Mode, Why

from .along_text import ahead_text, recline_text
from .caution import caution
from .content import Block, Group, Heading, Paragraph, group, items, spans
from .doubted_text import doubted
from .manner import day
from .notes_text import caution_word
from .say import N, Words, t
from .squeeze_text import sum_shown
from .terminal import parts_of
from .text import count, listed
from .under_way_text import under_way
from .words import MODES, held_by, sentence, shared_sentence

#: up to so many modes, what passed is listed for those that are ruled out, too
_FEW = 4
_STOPPED = N("The search stopped at its limit before it saw every arrangement: where none is found here, there may "
             "still be one.")
#: what passed by these is told in a line of its own
_TOLD_APART = ("recline-out-of-range", "no-room-ahead")
_WORD = Words({"block": "no", "pass": "ok"})


def why_text(why: Why, asked: str = "TRIP", narrow: bool = False) -> str:
    """The whole answer as text; see ``why_content``."""
    return parts_of(why_content(why, asked, narrow))


def why_content(why: Why, asked: str | None = "TRIP", narrow: bool = False) -> list[Block | None]:
    """The whole answer.

    ``narrow``: it is about one seat or restraint, so what passed is listed too; otherwise seats with the same
    answer share one block. ``asked``: the trip as typed; None: where nothing is typed.
    """
    head = Heading(t("{rider} in {vehicle}, rules {name}, {day}", rider=why.rider, vehicle=why.trip.vehicle.vehicle,
                     name=why.profile.name, day=day(why.day)))
    passes = len(why.modes) <= _FEW
    blocks: list[Block] = [_full(why, mode, passes or mode.level is not None) for mode in why.modes] if narrow else (
        _short(why))
    if not blocks:
        blocks = [Paragraph(t("Nothing to judge: this rider never rides in that restraint."))]
    if not why.complete:
        blocks.append(Paragraph(t(_STOPPED)))
    hint = None
    if asked is None:
        pass
    elif narrow and not passes:
        hint = spans("hint: `seatplan why {asked} --restraint NAME` shows all that passed", asked=asked)
    elif not narrow and why.modes:
        seat = next((mode.position for mode in why.modes if mode.level is not None), why.modes[-1].position)
        hint = spans("hint: `seatplan why {asked} --position {seat}` shows what passed too", asked=asked, seat=seat)
    return [head, under_way(why.trip, why.profile, why.day, why.options), doubted(why.trip), *blocks,
            group(caution(), None if hint is None else Paragraph(hint))]


def _full(why: Why, mode: Mode, passes: bool) -> Group:
    """One mode at one seat with every finding; ``passes`` False leaves out what speaks for it."""
    outcomes = ORDER if passes else ORDER[:-1]
    common = _common(mode.cells)
    ways: list[Block | None] = []
    if len(mode.cells) > 1:
        for cell in mode.cells:
            ways.append(Paragraph(t("by {held_by}: {state}", held_by=held_by(cell.placement), state=_state(cell)),
                                  hangs=True))
            ways.append(_inner(items(_findings(_own(cell, common), outcomes))))
    return group(Paragraph(f"{mode.position} {_in(mode)}: {_verdict(mode, why.complete)}", hangs=True),
                 group(items(_along(why, mode)), *_nearest(mode), items(_findings(common, outcomes)), *ways,
                       inner=True))


def _inner(block: Block | None) -> Group | None:
    return None if block is None else group(block, inner=True)


def _nearest(mode: Mode) -> list[Block]:
    """The sum of the nearest miss."""
    if mode.squeeze is None:
        return []
    return [Paragraph(t("the nearest miss:")), group(sum_shown(mode.squeeze), inner=True)]


def _short(why: Why) -> list[Block]:
    """What speaks against each mode, seats with the same answer together; a seat that is out for all once."""
    blocks: dict[tuple[str, str, Group], list[str]] = {}
    for position in dict.fromkeys(mode.position for mode in why.modes):
        here = [mode for mode in why.modes if mode.position == position]
        out = _out_for_all(here)
        if out and len(here) > 1:
            reason = group(items([_line(out, shared=True)]))
            blocks.setdefault((t("in any restraint"), t("no"), reason), []).append(position)
            continue
        for mode in here:
            blocks.setdefault((_in(mode), *_reasons(why, mode)), []).append(position)
    return [group(Paragraph(f"{listed(seats)} {what}: {verdict}", hangs=True), group(reasons, inner=True))
            for (what, verdict, reasons), seats in blocks.items()]


def _out_for_all(modes: Sequence[Mode]) -> Finding | None:
    """A rule that rules the rider out of a seat whatever the restraint."""
    first = modes[0].cells[0]
    for finding in first.findings:
        if finding.outcome == "block" and all(
                any(f.rule == finding.rule and f.outcome == "block" for f in cell.findings)
                for mode in modes for cell in mode.cells):
            return finding
    return None


def _reasons(why: Why, mode: Mode) -> tuple[str, Group]:
    """The verdict, then what is against it: in words that fit every seat alike."""
    worse = ORDER[:-1]
    common = _common(mode.cells)
    blocks = sum(finding.outcome == "block" for finding in common)
    verdict = t("no, for {reasons}", reasons=count(blocks, "reason")) if blocks else _verdict(mode, why.complete)
    leans = mode.cells[0].placement.rear_facing and not all(cell.blocked for cell in mode.cells)
    ways: list[Block] = []
    if len(mode.cells) > 1 and not blocks:
        ways = list(dict.fromkeys(
            group(Paragraph(t("by {way}: {state}", way=_way(cell), state=_state(cell))),
                  _inner(items(_findings(_own(cell, common), worse, shared=True))))
            for cell in mode.cells))
    return verdict, group(items(_along(why, mode)) if leans else None, *_nearest(mode),
                          items(_findings(common, worse, shared=True)), *ways)


def _along(why: Why, mode: Mode) -> list[str]:
    """How it leans, and its room ahead: the same for every way to hold it."""
    return list(dict.fromkeys(text for cell in mode.cells
                              for text in (recline_text(cell.placement), ahead_text(cell, why.limits)) if text))


def _way(cell: JudgedPlacement) -> str:
    """How it is held, without the names of bars and anchors, which differ from seat to seat."""
    return held_by(cell.placement, named=False)


def _in(mode: Mode) -> str:
    return (
        t("with the seat belt")
        if mode.restraint is None
        else t("in {restraint}, {MODES}", restraint=listed(mode.copies, "or"), MODES=MODES[mode.mode])
    )


def _state(cell: JudgedPlacement) -> str:
    return t("no") if cell.blocked else t("not all measured") if cell.unmeasured else t("allowed")


def _verdict(mode: Mode, complete: bool) -> str:
    if all(cell.blocked for cell in mode.cells):
        blocks = {f.rule for cell in mode.cells for f in cell.findings if f.outcome == "block"}
        if not blocks:
            return t("no, not all measured (--strict)")
        return t("no, for {reasons}", reasons=count(len(blocks), 'reason'))
    if mode.level is None:
        return t("allowed, but then the others cannot all ride") if complete else (
            t("allowed; no arrangement found before the search stopped"))
    return (t("fits"), t("close: try it in the car"), t("likely, with what is only estimated"),
            t("allowed as far as measured"),
            t("allowed, but not enough room with the others in the car"))[mode.level]


def _same(one: Finding, other: Finding) -> bool:
    return one.rule == other.rule and one.result == other.result and one.outcome == other.outcome


def _common(cells: Sequence[JudgedPlacement]) -> list[Finding]:
    """Findings that every placement of the mode has alike: said once."""
    first, *others = cells
    return [f for f in first.findings if all(any(_same(f, g) for g in cell.findings) for cell in others)]


def _own(cell: JudgedPlacement, common: Sequence[Finding]) -> list[Finding]:
    return [f for f in cell.findings if not any(_same(f, c) for c in common)]


def _findings(findings: Sequence[Finding], outcomes: Sequence[str], shared: bool = False) -> list[str]:
    return [_line(f, shared) for outcome in outcomes for f in gravest_first(findings)
            if f.outcome == outcome and not (outcome == "pass" and f.rule in _TOLD_APART)]


def _line(finding: Finding, shared: bool = False) -> str:
    text = shared_sentence(finding) if shared else sentence(finding)
    word = "" if finding.outcome == "unmeasured" else (             # it says so itself
        f"{caution_word(finding) if finding.outcome == 'caution' else _WORD[finding.outcome]}: ")
    return f"{word}{text} ({finding.rule})"
