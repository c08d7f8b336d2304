"""One arrangement of a trip, judged again with other values in its records."""

from __future__ import annotations

from datetime import date

from seatplan.growth.family import trip_on
from seatplan.model import Trip
from seatplan.model.doubt import Path
from seatplan.rules.load import load_profile
from seatplan.rules.profile import Profile
from seatplan.solver.judge import Judge, Judged, Pick, picks_of
from seatplan.solver.plan import plan

DAY = date(2026, 11, 28)
GOOD = ("fits", "close", "likely")


class Pinned:
    """The best arrangement of a trip. ``picks`` is empty where there is none."""

    def __init__(self, trip: Trip) -> None:
        self.trip = trip
        self.day = trip.on or DAY
        self.profile: Profile = load_profile(trip.rules)
        solved = plan(trip_on(trip, self.day, self.day), self.profile, self.day, top=1)
        self.verdict = solved.verdict
        self.picks = tuple(_open(pick) for pick in picks_of(solved.arrangements[0])) if solved.arrangements else ()
        self.judged = 0

    def told(self, trip: Trip) -> tuple[Judge, Judged | None]:
        """What becomes of the arrangement in a trip with the same names, and who judged it."""
        self.judged += 1
        judge = Judge(trip_on(trip, self.day, self.day), self.profile, self.day)
        return judge, judge.best(self.picks)

    def judge(self, trip: Trip) -> str:
        """The verdict of the arrangement in a trip with the same names."""
        told = self.told(trip)[1]
        return "rejected" if told is None else told.verdict

    def uses(self, path: Path) -> bool:
        """Whether the arrangement uses what a field is part of."""
        if path[0] == "restraints" and len(path) > 1:
            restraint = self.trip.restraints[int(path[1])]
            pick = next((pick for pick in self.picks if pick.restraint == restraint.restraint), None)
            if pick is None or path[2:3] != ("modes",) or len(path) < 4:
                return pick is not None
            return (restraint.modes[int(path[3])].mode == pick.mode
                    and (path[4:5] != ("installations",) or len(path) < 6 or path[5] == pick.installation))
        if path[:2] == ("vehicle", "rows") and len(path) > 2:
            row = self.trip.vehicle.rows[int(path[2])]
            here = {pick.position for pick in self.picks}
            if path[3:4] == ("positions",) and len(path) > 4:
                return row.positions[int(path[4])].position in here
            return any(position.position in here for position in row.positions)
        return True


def _open(pick: Pick) -> Pick:
    """How somebody rides, with the bars, the anchor and the setting left open, as the search leaves them."""
    return Pick(pick.rider, pick.position, pick.restraint, pick.mode, pick.installation, pick.by)
