"""What to measure next, as a form to take to the car."""

from __future__ import annotations

from seatplan.solver.measure import Measure, Measurement, Settled

from .caution import CAUTION
from .doubted_text import doubted_part
from .manner import day, number, page
from .say import shown, t, tr
from .text import columns, count, folded, wrapped
from .words import held_at, word

_MANY = 20
#: values named that settle a field
_SETTLES = 10
#: the columns up to the end of the dots, and those of the blank to write in
_DOTS, _BLANK = 68, 24


def measure_text(measure: Measure) -> str:
    """Those that settle most first, each with room to write."""
    sure = measure.now.tally.sure
    head = [
        wrapped(measure.trip.trip),
        wrapped(t("in {vehicle}, rules {name}, {day}", vehicle=measure.trip.vehicle.vehicle,
                  name=measure.profile.name, day=day(measure.day))),
        "",
        wrapped(t("Now {arrangements} fit, are close or likely, and "
                  "{sure} hang on what was not measured.",
                  arrangements=count(sum(sure.values()) - sure['unmeasured'], 'arrangement'),
                  sure=number(sure['unmeasured']))),
    ]
    if not measure.complete:
        head.append(wrapped(t("The search stopped at its limit: some of these were not tried, so their order says "
                              "little, and there may be more.")))
    if not measure.measurements and measure.complete:
        head.append(wrapped(t("Nothing is left to measure that would change the answer.")))
    blocks = [_one(i + 1, m) for i, m in enumerate(measure.measurements[:_MANY])]
    left = len(measure.measurements) - _MANY
    tail = [t("and {more_fields} that decide less", more_fields=count(left, 'more field'))] if left > 0 else []
    tail.append(wrapped(t("hint: write the values into the files, then `seatplan arrange` again")))
    tail.append(wrapped(t("caution: {CAUTION}", CAUTION=CAUTION)))
    return "\n\n".join(["\n".join(head), *filter(None, [doubted_part(measure.trip)]), *blocks, *tail]) + "\n"


def _settled(by: Settled) -> str:
    return str(shown(held_at(by.value, by.unit, by.keeps)))


def _one(rank: int, m: Measurement) -> str:
    *lines, last = folded(f"{rank}. {tr(m.unknown.name)}", page() - _BLANK, "   ")
    lines.append(f"{last} {'.' * (min(_DOTS, page() - _BLANK) - columns(last) - 1)} ______________________")
    lines.append(wrapped(tr(m.unknown.how), "   "))
    if m.settles:
        lines.append(wrapped(t("settled by: {settles}", settles='; '.join(map(_settled, m.settles[:_SETTLES]))), "   "))
    if m.ends is None:
        lines.append(wrapped(t("not tried: the search stopped at its limit"), "   "))
    elif m.ends[0].word != m.ends[1].word:
        for end in m.ends:
            lines.append(wrapped(t("if {word}: {sure} fit or are close, {open} stay open", word=word(end.word),
                                   sure=number(end.sure), open=number(end.open)), "   "))
    else:
        end = m.ends[0]
        lines.append(
            wrapped(
                t(
                    "if {word}: {sure} fit or are close, {open} stay open; anything else has to be measured first",
                    word=word(end.word),
                    sure=number(end.sure),
                    open=number(end.open),
                ),
                "   ",
            )
        )
    return "\n".join(lines)
