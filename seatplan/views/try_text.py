"""What one try at the car comes to, in words: what it may not be used for first, then what it confirms."""

from __future__ import annotations

from collections.abc import Iterable

from seatplan.model import Tried
from seatplan.rules.finding import Finding
from seatplan.rules.registry import gravest_first
from seatplan.rules.tries import not_level, reading
from seatplan.solver.after_try import AfterTry
from seatplan.solver.judged_try import JudgedTry, against
from seatplan.solver.placements import JudgedPlacement

from .content import Block, Group, Paragraph, Weighed, group, items
from .notes_text import caution_weight, caution_word
from .say import t
from .text import listed
from .words import BY, MODES, sentence

#: a must of the family, which is no matter of what is allowed
_ASKED = "wish-for-seat-not-met"


def way(tried: Tried) -> str:
    """``Nook at 2C by lap-shoulder belt, rear-facing harness``; ``the seat belt alone at 2R``."""
    mode = f", {MODES[tried.mode]}" if tried.mode else ""
    if tried.by is None:
        return there(tried) + mode
    return t("{restraint} at {position} by {BY}{mode}", restraint=tried.restraint, position=tried.position,
             BY=BY[tried.by], mode=mode)


def there(tried: Tried) -> str:
    """``Nook at 2C``."""
    if tried.restraint is None:
        return t("the seat belt alone at {position}", position=tried.position)
    return t("{restraint} at {position}", restraint=tried.restraint, position=tried.position)


def try_said(done: AfterTry) -> Group:
    """The verdict on a try. What the rules forbid, or ask to be measured, comes before anything that speaks for it."""
    judged, tried = done.judged, done.tried
    parts = {"blocked": _blocked, "open": _open, "forbidden": _forbidden, "unsettled": _unsettled,
             "confirmed": _confirmed, "held": _held, "unused": _unused}[judged.outcome](judged, tried)
    if judged.outcome in ("unsettled", "confirmed", "held"):
        shown = done.has == "as tried"              # with the arrangement, where its cautions are told
        parts = [*_led(judged, tried), *parts, *([] if shown else _cautions(judged)), *_followed(judged)]
    return group(*parts)


def forbidden_said(cell: JudgedPlacement) -> Group:
    """What blocks a restraint as it was found, each with its sentence and numbers."""
    return group(Paragraph(t("As it is in the car now it must not be used:")),
                 _listed(_line(cell, f) for f in cell.findings if f.outcome == "block"))


def _blocked(judged: JudgedTry, tried: Tried) -> list[Block]:
    told = t("It cannot stay like that: {sentence}. The plan no longer has {way}.", sentence=_of_try(judged),
             way=way(tried))
    if judged.leads:
        return [Paragraph(told + t(" Even if it held, it must not be used there like this:")),
                *_reasons(judged.ruled_out)]
    return [Paragraph(told + _again_if_it_holds(tried))]


def _again_if_it_holds(tried: Tried) -> str:
    """What to do so that it might hold: what moved is tightened, what leans is set level, what failed is neither."""
    if tried.failed:
        return t(" If it can be installed after all and holds, record that too.")
    if not_level(tried):
        return t(" If it stands level and holds once it is set again, record that too.")
    return t(" If it holds once it is tightened again, record that too.")


def _open(judged: JudgedTry, tried: Tried) -> list[Block]:
    told = t("Still open: {sentence}.", sentence=_of_try(judged))
    if judged.leads:
        return [Paragraph(told + t(" Even if it holds, it must not be used there like this:")),
                *_reasons(judged.ruled_out)]
    return [Paragraph(told)]


def _forbidden(judged: JudgedTry, tried: Tried) -> list[Block]:
    asked = all(f.rule == _ASKED for cell in judged.ruled_out for f in against(cell))
    wrong = reading(tried, "belt_fits") is False
    start = t("The belt does not lie as it should. What rules out {way}:", way=way(tried)) if wrong else (
        t("The belt fits, but you asked for something else. What rules out {way}:", way=way(tried))
        if asked and tried.restraint is None else
        t("The belt fits, but it must not be used there. What rules out {way}:", way=way(tried))
        if tried.restraint is None else
        t("It held, but you asked for something else. What rules out {way}:", way=way(tried)) if asked else
        t("It held, but must not be used there. What rules out {way}:", way=way(tried)))
    return [Paragraph(start), *_reasons(judged.ruled_out),
            Paragraph(t("The entry stays in the file, for it is what happened; it changes nothing of that."))]


def _unsettled(judged: JudgedTry, tried: Tried) -> list[Block]:
    cell = judged.nearest
    lines: list[Block] = [Paragraph(
        t("The belt fits. Still to measure before {way} can be used:", way=way(tried)) if tried.restraint is None else
        t("It held. Still to measure before {way} can be confirmed:", way=way(tried)))]
    if cell is not None:
        lines.append(_listed(_line(cell, f) for f in cell.findings if f.outcome == "unmeasured"))
    wanting = _wanting(judged)
    if wanting:
        lines.append(Paragraph(t("Nor does the entry say {wanting}.{again}", wanting=wanting, again=_again(judged))))
    return lines


def _confirmed(judged: JudgedTry, tried: Tried) -> list[Block]:
    return [Paragraph(t("It holds. {way} is confirmed for {riders} and comes before what nobody tried. That says "
                      "nothing of the seats beside it, the room ahead or what was not measured; those count as before.",
                      way=way(tried), riders=listed(judged.riders)))]


def _held(judged: JudgedTry, tried: Tried) -> list[Block]:
    wanting = _wanting(judged)
    if tried.restraint is None and judged.nearest is not None:
        return [Paragraph(t("The belt fits {rider} at {position} without a restraint. What was not measured counts as "
                            "before.", rider=judged.nearest.placement.rider.rider, position=tried.position))]
    if tried.by is None:
        return [Paragraph(t("Noted of {way}, which is a part of the car: nothing is installed, so nothing else is "
                            "confirmed.", way=way(tried)))]
    if not wanting and judged.nearest is not None and judged.nearest.placement.booster:
        if reading(tried, "belt_fits"):
            return [Paragraph(t("The belt fits {rider} on {way}. A booster holds nothing by itself, so nothing else is "
                                "confirmed.", rider=tried.rider or judged.nearest.placement.rider.rider,
                                way=way(tried)))]
        return [Paragraph(t("It held. A booster holds nothing by itself, so this confirms nothing."))]
    if not wanting:
        return [Paragraph(t("It held. {way} is not confirmed, for an older entry that still counts leaves something "
                          "open.", way=way(tried)))]
    return [Paragraph(t("It held. {way} is not confirmed yet, for the entry does not say {wanting}.{again}",
                      way=way(tried), wanting=wanting, again=_again(judged)))]


def _unused(judged: JudgedTry, tried: Tried) -> list[Block]:
    if tried.rider is not None:
        return [Paragraph(t("{rider} could not ride in {way}, so it changes nothing.", rider=tried.rider,
                            way=way(tried)))]
    return [Paragraph(t("Nobody of this trip could ride in {way}, so it changes nothing.", way=way(tried)))]


def _led(judged: JudgedTry, tried: Tried) -> list[Block]:
    """Who rides there today and may not, before anything else."""
    if not judged.leads:
        return []
    return [Paragraph(t("It held, but who rides there today must not use {way}:", way=way(tried))),
            *_reasons(judged.ruled_out)]


def _cautions(judged: JudgedTry) -> list[Block]:
    """What is allowed but not good practice about what was tried."""
    cell = judged.nearest
    if cell is None:
        return []
    return [group(items([Weighed(f"{caution_word(f)}: {_line(cell, f)}", caution_weight(f))
                         for f in gravest_first(cell.findings) if f.outcome == "caution"]), inner=True)]


def _followed(judged: JudgedTry) -> list[Block]:
    """The modes that the entry could mean and nobody may use there."""
    out = [cell for cell in judged.ruled_out if not cell.placement.booster]
    if judged.leads or not out:
        return []
    return [Paragraph(t("Whatever the try says, it must not be used there like this:")), *_reasons(out)]


def _reasons(cells: Iterable[JudgedPlacement]) -> list[Block]:
    return [_listed(_line(cell, finding) for cell in cells for finding in against(cell))]


def _listed(lines: Iterable[str]) -> Group:
    return group(items(list(lines), marked=True), inner=True)


def _line(cell: JudgedPlacement, finding: Finding) -> str:
    """``Wren, rear-facing harness: a rear-facing shell before an active airbag (airbag-ahead)``."""
    placement = cell.placement
    return t("{rider}, {mode}: {sentence} ({rule})", rider=placement.rider.rider, mode=MODES[placement.mode_name],
             sentence=sentence(finding), rule=finding.rule)


def _of_try(judged: JudgedTry) -> str:
    return sentence(judged.finding) if judged.finding is not None else ""


def _wanting(judged: JudgedTry) -> str:
    """What the entry would have to say before it could confirm anything."""
    modes = listed([f"`--mode {mode}`" for mode in judged.modes], "or")
    lacks = {"level": t("whether it stood level: `--level yes` or `--level no`"),
             "mode": t("how it was used: {modes}", modes=modes),
             "way": t("with which base, connectors or bars; an entry cannot say that, so it stays as it is")}
    return "; ".join(lacks[key] for key in judged.missing)


def _again(judged: JudgedTry) -> str:
    return t(" Record it again with that.") if set(judged.missing) & {"level", "mode"} else ""
