"""The best arrangements with their drawings, and the list of all that were worked out."""

from __future__ import annotations

import json
from collections.abc import Sequence
from xml.etree.ElementTree import Element

from seatplan.rules.finding import Finding
from seatplan.solver.picture import Picture
from seatplan.solver.results import Arrangement, SeatShown
from seatplan.views.along_text import along, close_along, room
from seatplan.views.content import group, items
from seatplan.views.html import elements, table, wide
from seatplan.views.manner import number
from seatplan.views.markup import el
from seatplan.views.notes_text import cautions_said, estimates_said, findings_of, things_to_measure
from seatplan.views.order_text import decided, equally_good
from seatplan.views.say import look_up, t
from seatplan.views.seated_text import seated
from seatplan.views.svg.figures import row_figures, seats_said, side_figures
from seatplan.views.svg.plan import key
from seatplan.views.text import count
from seatplan.views.words import VERDICTS, held_by, in_what, sentence

from .answer import seat_told
from .shown import Shown, more, section

#: so many are there to see at once; of several vehicles only the best of each
FIRST = 3


def best(shown: Shown) -> Element | None:
    """The first arrangements, each with its drawing; then the best one for each rider and seat."""
    drawn = [a for a in shown.plan.arrangements if a.rank in shown.pictures]
    if not drawn:
        return None
    links = [el("li", el("a", f"{a.rank}: {VERDICTS[a.verdict]}", href=f"#{shown.prefix}a{a.rank}")) for a in drawn]
    articles = [_article(shown, a, shown.pictures[a.rank]) for a in drawn]
    first = FIRST if shown.compared is None else 1
    return section(
        shown, "best", t("The best arrangements"),
        el("nav", el("ul", links, class_="switch"), aria_label=t("Arrangements{named}", named=shown.named)),
        articles[:first],
        more(t("More drawings: the best arrangement for other seats"), articles[first:]) if articles[first:] else None,
        more(t("How to read the drawings"),
             el("ul", [el("li", line) for line in (*key(), seats_said(shown.plan.trip.vehicle))]), paper=True))


def _article(shown: Shown, arrangement: Arrangement, picture: Picture) -> Element:
    name = f"{shown.prefix}a{arrangement.rank}"
    behind = (t("Comes after {before}, which {decided}.", before=arrangement.rank - 1, decided=decided(arrangement))
              if arrangement.decided_by else
              t("As good as {before}.", before=arrangement.rank - 1) if equally_good(arrangement) else None)
    named = t("Arrangement {rank}", rank=arrangement.rank)
    plan = shown.plan
    sides = side_figures(plan, arrangement, picture, name)
    estimated = estimates_said(arrangement, plan.trip)
    told = group(items(cautions_said(arrangement)), *along(arrangement), items([estimated] if estimated else []))
    missing = things_to_measure([arrangement])
    checked = [_finding(finding) for finding in findings_of(arrangement) if finding.outcome == "pass"]
    return el(
        "article",
        el(shown.deeper, f"{arrangement.rank}. {VERDICTS[arrangement.verdict]}{_room(arrangement)}", id=f"{name}-head"),
        el("p", seated(arrangement, plan.arrangements[0]), class_="who"),
        el("p", behind) if behind else None,
        el("div", row_figures(plan, arrangement, picture.rows, picture, name), class_="drawn"),
        wide(named + shown.named, table(
            [t("rider"), t("seat"), t("in"), t("held by")], [_seat(seat) for seat in arrangement.seats], named)),
        elements([told], shown.place),
        [el("p", el("strong", t("To measure, or to look up"))), el("ul", [el("li", line) for line in missing])]
        if missing else None,
        more(t("From the side"), el("div", sides, class_="drawn"), paper=True) if sides else None,
        more(t("What was checked and passed: {n_checked}", n_checked=len(checked)),
             el("ul", [el("li", line) for line in checked])),
        id=name, aria_labelledby=f"{name}-head", data_at=shown.at(arrangement))


def _seat(seat: SeatShown) -> Element:
    placement = seat.placement
    others = dict.fromkeys(held_by(cell.placement) for cell in seat.alternatives)
    also = t(" (or {others})", others=t("; or ").join(others)) if others else ""
    return el("tr", el("th", placement.rider.rider, scope="row"), el("td", placement.position.position),
              el("td", in_what(placement)), el("td", held_by(placement) + also))


def _finding(finding: Finding) -> str:
    seated = zip(finding.riders, finding.positions, strict=True)
    where = ", ".join(t("{rider} at {position}", rider=rider, position=position) for rider, position in seated)
    return t("{where}: {sentence} ({rule}; source: {source})", where=where, sentence=sentence(finding),
             rule=finding.rule, source=look_up(finding.source))


def _room(arrangement: Arrangement) -> str:
    if close_along(arrangement.ahead):
        return t(": tight along the car")
    rows = [row for row in arrangement.rows if row.spare_mm is not None]
    if not rows:
        return ""
    row = min(rows, key=lambda one: one.spare_mm or 0)
    unsure = t(", as far as measured") if any(one.unsure for one in arrangement.rows) else ""
    return ": " + room(row.spare_mm or 0, row.tolerance_mm, row.tight,
                       t(" in row {row}{unsure}", row=row.row.row, unsure=unsure))


def everything(shown: Shown) -> Element | None:
    """One line for each arrangement that was worked out; the script filters these."""
    plan = shown.plan
    if len(plan.arrangements) < 2:
        return None
    riders = [rider.rider for rider in plan.trip.riders]
    seats, cautions = Numbered(), Numbered()
    rows = [el("tr", el("th", str(a.rank), scope="row"), el("td", VERDICTS[a.verdict]),
               [_where(a, rider) for rider in riders], data_at=shown.at(a)) for a in plan.arrangements]
    lines = [(a.verdict, seats.numbers([seat_told(seat) for seat in a.seats]), cautions.numbers(cautions_said(a)))
             for a in plan.arrangements]
    listed, valid = len(plan.arrangements), plan.tally.valid
    told = (t("All {arrangements}, best first.", arrangements=count(listed, "arrangement")) if listed == valid else
            t("The best {listed} of {arrangements}.", listed=number(listed),
              arrangements=count(valid, "arrangement")))
    made = section(shown, "all", t("Every arrangement in a line"), el("p", told),
                   more(t("Show the list"), wide(
                       t("Every arrangement{named}", named=shown.named),
                       table([t("number"), t("verdict"), *riders], rows, told, stacks=False))))
    made.set("data-seats", seats.written())
    made.set("data-cautions", cautions.written())
    made.set("data-lines", json.dumps(lines, separators=(",", ":")))
    return made


class Numbered:
    """What many arrangements share is written once, and has a number."""

    def __init__(self) -> None:
        self._numbers: dict[object, int] = {}

    def numbers(self, things: Sequence[object]) -> list[int]:
        return [self._numbers.setdefault(thing, len(self._numbers)) for thing in things]

    def written(self) -> str:
        """All things as a JSON list, in the order of their numbers."""
        return json.dumps(list(self._numbers), ensure_ascii=False)


def _where(arrangement: Arrangement, rider: str) -> Element:
    seat = next((s.placement for s in arrangement.seats if s.placement.rider.rider == rider), None)
    if seat is None:
        return el("td", "-")
    return el("td", f"{seat.position.position} {seat.restraint.restraint if seat.restraint else t('seat belt')}")
