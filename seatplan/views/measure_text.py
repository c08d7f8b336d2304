"""What to measure next, as a form to take to the car."""

from __future__ import annotations

from seatplan.solver.measure import Measure, Measurement, Settled

from .caution import caution
from .content import Blank, Block, Group, Heading, Paragraph, group, spans
from .doubted_text import doubted
from .manner import day, number
from .say import shown, t, tr
from .terminal import parts_of
from .text import count
from .words import held_at, word

_MANY = 20
#: values named that settle a field
_SETTLES = 10


def measure_text(measure: Measure) -> str:
    """The form as text; see ``measure_content``."""
    return parts_of(measure_content(measure))


def measure_content(measure: Measure) -> list[Block | None]:
    """Those that settle most first, each with room to write."""
    sure = measure.now.tally.sure
    nothing = not measure.measurements and measure.complete
    left = len(measure.measurements) - _MANY
    return [
        group(Heading(measure.trip.trip), Paragraph(
            t("in {vehicle}, rules {name}, {day}", vehicle=measure.trip.vehicle.vehicle, name=measure.profile.name,
              day=day(measure.day)))),
        group(Paragraph(t("Now {arrangements} fit, are close or likely, and {sure} hang on what was not measured.",
                          arrangements=count(sum(sure.values()) - sure["unmeasured"], "arrangement"),
                          sure=number(sure["unmeasured"]))),
              None if measure.complete else Paragraph(t(
                  "The search stopped at its limit: some of these were not tried, so their order says little, and "
                  "there may be more.")),
              Paragraph(t("Nothing is left to measure that would change the answer.")) if nothing else None),
        doubted(measure.trip),
        *(_one(i + 1, m) for i, m in enumerate(measure.measurements[:_MANY])),
        Paragraph(t("and {more_fields} that decide less", more_fields=count(left, "more field"))) if left > 0 else None,
        Paragraph(spans("hint: write the values into the files, then `seatplan arrange` again")),
        caution()]


def _settled(by: Settled) -> str:
    return str(shown(held_at(by.value, by.unit, by.keeps)))


def _one(rank: int, m: Measurement) -> Group:
    told = [t("settled by: {settles}", settles="; ".join(map(_settled, m.settles[:_SETTLES])))] if m.settles else []
    if m.ends is None:
        told.append(t("not tried: the search stopped at its limit"))
    elif m.ends[0].word != m.ends[1].word:
        told += [t("if {word}: {sure} fit or are close, {open} stay open", word=word(end.word), sure=number(end.sure),
                   open=number(end.open)) for end in m.ends]
    else:
        end = m.ends[0]
        told.append(t("if {word}: {sure} fit or are close, {open} stay open; anything else has to be measured first",
                      word=word(end.word), sure=number(end.sure), open=number(end.open)))
    return group(Blank(f"{rank}. {tr(m.unknown.name)}"),
                 group(Paragraph(tr(m.unknown.how)), *map(Paragraph, told), inner=True))
