"""The best arrangements with their drawings, and the list of all that were worked out."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from seatplan.rules.finding import Finding
from seatplan.solver.picture import Picture
from seatplan.solver.results import Arrangement, SeatShown
from seatplan.views.along_text import along, close_along, room
from seatplan.views.markup import el
from seatplan.views.notes_text import cautions, findings_of, to_measure
from seatplan.views.plan_text import DECIDED
from seatplan.views.svg.plan import KEY, rows_drawing, sides_drawing
from seatplan.views.text import count
from seatplan.views.words import VERDICTS, held_by, in_what, sentence

from .shown import Shown, more, section, table, wide

#: so many are there to see at once
FIRST = 3


def best(shown: Shown) -> Element | None:
    """The first arrangements, each with its drawing; then the best one for each rider and seat."""
    drawn = [a for a in shown.plan.arrangements if a.rank in shown.pictures]
    if not drawn:
        return None
    links = [el("li", el("a", f"{a.rank}: {VERDICTS[a.verdict]}", href=f"#a{a.rank}")) for a in drawn]
    articles = [_article(shown, a, shown.pictures[a.rank]) for a in drawn]
    return section(
        "best", "The best arrangements",
        el("nav", el("ul", links, class_="switch"), aria_label="Arrangements"),
        articles[:FIRST],
        more("More drawings: the best arrangement for other seats", articles[FIRST:]) if articles[FIRST:] else None,
        more("How to read the drawings", el("ul", [el("li", line) for line in KEY])))


def _article(shown: Shown, arrangement: Arrangement, picture: Picture) -> Element:
    name = f"a{arrangement.rank}"
    behind = (f"Comes after {arrangement.rank - 1}, which {DECIDED[arrangement.decided_by]}."
              if arrangement.decided_by else None)
    plan = shown.plan
    sides = sides_drawing(plan, arrangement, picture, name)
    told = [" ".join(line.split()) for line in (*along(arrangement, ""), *cautions(arrangement, ""))]
    missing = [" ".join(line.split()).removeprefix("- ") for line in to_measure([arrangement], "")]
    checked = [_finding(finding) for finding in findings_of(arrangement) if finding.outcome == "pass"]
    return el(
        "article",
        el("h3", f"{arrangement.rank}. {VERDICTS[arrangement.verdict]}{_room(arrangement)}", id=f"{name}-head"),
        el("p", behind) if behind else None,
        el("figure", rows_drawing(plan, arrangement, picture, name)),
        wide(f"Arrangement {arrangement.rank}", table(
            ["rider", "seat", "in", "held by"], [_seat(seat) for seat in arrangement.seats],
            f"Arrangement {arrangement.rank}")),
        el("ul", [el("li", line) for line in told]) if told else None,
        [el("p", el("strong", "To measure, or to look up")), el("ul", [el("li", line) for line in missing])]
        if missing else None,
        more("From the side", el("figure", sides)) if sides else None,
        more(f"What was checked and passed: {len(checked)}", el("ul", [el("li", line) for line in checked])),
        id=name, aria_labelledby=f"{name}-head", data_at=shown.at(arrangement))


def _seat(seat: SeatShown) -> Element:
    placement = seat.placement
    others = dict.fromkeys(held_by(cell.placement) for cell in seat.alternatives)
    also = f" (or {'; or '.join(others)})" if others else ""
    return el("tr", el("th", placement.rider.rider, scope="row"), el("td", placement.position.position),
              el("td", in_what(placement)), el("td", held_by(placement) + also))


def _finding(finding: Finding) -> str:
    seated = zip(finding.riders, finding.positions, strict=True)
    where = ", ".join(f"{rider} at {position}" for rider, position in seated)
    return f"{where}: {sentence(finding)} ({finding.rule}; source: {finding.source})"


def _room(arrangement: Arrangement) -> str:
    if close_along(arrangement.ahead):
        return ": tight along the car"
    rows = [row for row in arrangement.rows if row.spare_mm is not None]
    if not rows:
        return ""
    row = min(rows, key=lambda one: one.spare_mm or 0)
    unsure = ", as far as measured" if any(one.unsure for one in arrangement.rows) else ""
    return ": " + room(row.spare_mm or 0, row.tolerance_mm, row.tight, f" in row {row.row.row}{unsure}")


def everything(shown: Shown) -> Element | None:
    """One line for each arrangement that was worked out; the script filters these."""
    plan = shown.plan
    if len(plan.arrangements) < 2:
        return None
    riders = [rider.rider for rider in plan.trip.riders]
    rows = [el("tr", el("th", str(a.rank), scope="row"), el("td", VERDICTS[a.verdict]),
               [_where(a, rider) for rider in riders], data_at=shown.at(a)) for a in plan.arrangements]
    listed, valid = len(plan.arrangements), plan.tally.valid
    told = (f"All {count(listed, 'arrangement')}, best first." if listed == valid
            else f"The best {listed:,} of {count(valid, 'arrangement')}.")
    return section("all", "Every arrangement in a line", el("p", told),
                   more("Show the list", wide("Every arrangement", table(["number", "verdict", *riders], rows, told))))


def _where(arrangement: Arrangement, rider: str) -> Element:
    seat = next((s.placement for s in arrangement.seats if s.placement.rider.rider == rider), None)
    if seat is None:
        return el("td", "-")
    return el("td", f"{seat.position.position} {seat.restraint.restraint if seat.restraint else 'adult belt'}")
