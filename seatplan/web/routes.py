"""Every page: its path, what answers it, and what may be asked of it (GET where nothing else is said).

No path and no query holds the name of a family, a child or a file: things are named by the numbers of the library, and
riders, seats and restraints by their places in the trip.
"""

from __future__ import annotations

from .day import beginning, deleting, families, family, filing, screen
from .family import (
    answer,
    files,
    home,
    later,
    measuring,
    moving,
    opening,
    papers,
    sliding,
    taking_back,
    trip,
    whying,
)
from .visit import Handler

ROUTES: list[tuple[str, Handler] | tuple[str, Handler, str] | tuple[str, Handler, str, str]] = [
    ("/", home.trips),
    ("/trips", home.begin_trip, "POST"),
    ("/take-in", home.take_in, "POST"),
    ("/trips/{trip}", trip.shown, "GET", "POST"),
    ("/day", families.shown),
    ("/day/begin", beginning.begun, "POST"),
    ("/day/new", families.added, "POST"),
    ("/day/{trip}", family.shown, "GET", "POST"),
    ("/day/{trip}/at/{n}", screen.shown, "GET", "POST"),
    ("/day/{trip}/checkup", filing.shown, "GET", "POST"),
    ("/day/{trip}/checkup/page", filing.page_of),
    ("/day/{trip}/checkup/{n}", filing.kept),
    ("/day/{trip}/delete", deleting.asked, "GET", "POST"),
    ("/trips/{trip}/change", answer.change_page),
    ("/cars", files.cars),
    ("/cars", files.begin_car, "POST"),
    ("/cars/{car}", files.car, "GET", "POST"),
    ("/seats", files.seats),
    ("/seats", files.begin_seat, "POST"),
    ("/seats/{seat}", files.seat, "GET", "POST"),
    ("/trips/{trip}/measure", measuring.shown, "GET", "POST"),
    ("/trips/{trip}/why", whying.shown),
    ("/trips/{trip}/move", moving.shown),
    ("/trips/{trip}/ahead", sliding.shown, "GET", "POST"),
    ("/trips/{trip}/later", later.shown, "GET", "POST"),
    ("/trips/{trip}/later/{work}", later.waited, "GET", "POST"),
    ("/trips/{trip}/papers", papers.shown),
    ("/trips/{trip}/sheet", papers.the_sheet),
    ("/trips/{trip}/report", papers.the_report),
    ("/trips/{trip}/drawing", papers.the_drawing),
    ("/trips/{trip}/checkup", papers.the_checkup, "POST"),
    ("/trips/{trip}/file", papers.the_file),
    ("/trips/{trip}/undo", taking_back.shown, "GET", "POST"),
    ("/bring", opening.shown, "GET", "POST"),
]
