"""Room along the car once more, from plain polygons and a list of all sums: what the slow solver holds the planner
against. Of the program only the breadths and legs of people are taken."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise, permutations, product
from math import ceil, hypot

from checker import body_of
from known import person_of, play_of
from scipy.optimize import linprog
from shapely.geometry import LineString

from seatplan.geometry.ahead import Profile, leg_need
from seatplan.model.vehicle import Ahead
from seatplan.rules.subjects import Placement, World
from seatplan.solver.lanes import ESTIMATE_OFF_MM, forward_at_most

FITS, CLOSE_FIT, UNSURE, SHORT = range(4)
FRONT = "front"
#: a length holds so far beyond the heights that it was measured at, mm
_BEYOND = 100
_SAME = 1e-6


def free_at(ahead: Ahead, height: float) -> float | None:
    """Free length at a height, straight between what was measured; the shorter of two at one height."""
    gaps: dict[int, int] = {}
    for at, free in ahead.gap:
        gaps[at] = min(free, gaps.get(at, free))
    points = sorted(gaps.items())
    if not points or not points[0][0] - _BEYOND <= height <= points[-1][0] + _BEYOND:
        return None
    if height <= points[0][0]:
        return points[0][1]
    for (low, near), (high, far) in pairwise(points):
        if height <= high:
            return near + (far - near) * (height - low) / (high - low)
    return points[-1][1]


def need_of(placement: Placement, world: World) -> int | None:
    """How far forward of rearmost the seat ahead must stand, mm."""
    ahead = placement.position.ahead
    if ahead is None:
        return None
    if placement.mode is None or placement.booster:
        return leg_need(placement.rider, Profile.of(ahead), placement.row.cushion.above_floor).mm
    lean = None if placement.recline is None else (placement.recline.setting, placement.recline.packing)
    body = body_of(placement.row, placement.position, placement.rider, placement.restraint, placement.mode,
                   placement.installation, placement.bars, person_of(placement.rider), play_of(world.profile), lean)
    worst: float | None = None
    known = [height for height, _ in ahead.gap]
    ends = [min(known) - _BEYOND, max(known) + _BEYOND] if known else []
    for part in body.parts:
        if part.outline is None or part.person:
            continue
        corners = list(part.outline.convex_hull.exterior.coords)
        low, high = min(y for _, y in corners), max(y for _, y in corners)
        for height in [*(y for _, y in corners), *known, *ends]:
            free = free_at(ahead, height)
            if free is None or not low - _SAME <= height <= high + _SAME:
                continue
            inside = min(max(height, low + 1e-9), high - 1e-9)
            cut = LineString([(-9000, inside), (9000, inside)]).intersection(part.outline.convex_hull)
            over = cut.bounds[2] - free
            worst = over if worst is None else max(worst, over)
    if worst is None:
        return None
    gap = 0 if placement.mode.touch_ahead in ("may", "must") else int(world.limit("clear_of_seat_ahead"))
    return ceil(worst + gap - 1e-5)


class Lengthwise:
    """Judges whole seatings. Answers are kept by what the seating asks and takes."""

    def __init__(self, world: World, strict: bool) -> None:
        self.world, self.strict = world, strict
        vehicle = world.vehicle
        self.travel = {f"row {row.row}": row.slides for row in vehicle.rows if row.slides}
        for position in vehicle.positions():
            ahead = position.ahead
            if ahead and ahead.seat and ahead.travel and f"row {ahead.seat[0]}" not in self.travel:
                # the file says it at each position behind; the first one counts
                self.travel.setdefault(ahead.seat, ahead.travel)
        for position in reversed(vehicle.positions()):
            ahead = position.ahead
            if ahead and ahead.seat and ahead.travel and ahead.seat in self.travel:
                self.travel[ahead.seat] = ahead.travel
        self.kept: dict[tuple[object, ...], int] = {}
        self.needs: dict[int, tuple[Placement, int | None]] = {}

    def moves_with(self, position: str) -> str:
        row = f"row {position[0]}"
        return position if position in self.travel else row if row in self.travel else FRONT

    def level(self, placements: Sequence[Placement]) -> int:
        bodies = []
        for p in placements:
            if id(p) not in self.needs:
                self.needs[id(p)] = p, need_of(p, self.world)
            need, ahead = self.needs[id(p)][1], p.position.ahead
            if need is None or ahead is None or ahead.seat is None:
                continue
            braced = p.mode is not None and p.mode.touch_ahead == "must"
            own = self.moves_with(p.position.position)
            if braced or need > -self.travel.get(own, 0):
                bodies.append((p.position.position, own, self.moves_with(ahead.seat), need, braced))
        if not bodies:
            return FITS
        key = (*sorted(bodies), *sorted(p.position.position for p in placements))
        if key not in self.kept:
            self.kept[key] = self._judge(bodies, {p.position.position for p in placements})
        return self.kept[key]

    def _judge(self, bodies: Sequence[tuple[str, str, str, int, bool]], taken: set[str]) -> int:
        trip = self.world.trip
        first = [p.position for p in self.world.vehicle.rows[0].positions]
        unknown: set[str] = set()
        guessed: set[str] = set()
        steps: list[tuple[str, str, int, int, bool]] = []       # start, end, need, body (0: a bound), guessed
        for key, travel in self.travel.items():
            limit, how = travel, False
            for seat in taken | {trip.drives}:
                if self.moves_with(seat) != key or (key != seat and seat not in first and seat not in trip.front):
                    continue
                given = trip.front.get(seat)
                own: int | None = None if given is None else given.forward_at_most
                if own is None:
                    stature = given.stature if given is not None else None
                    if stature is None and seat == trip.drives:
                        stature = next((r.height for r in trip.riders if r.drives), None)
                    if stature is None:
                        unknown.add(key)
                        continue
                    own = forward_at_most(stature, travel)
                    guessed.add(key)
                    if own <= limit:
                        how = True
                elif own <= limit:
                    how = False
                limit = min(limit, own)
            steps += [(FRONT, key, 0, 0, False), (key, FRONT, -limit, 0, how)]
        for number, (_, own_mover, ahead, need, braced) in enumerate(bodies, 1):
            steps.append((own_mover, ahead, need, number, False))
            if braced:
                steps.append((ahead, own_mover, -need, -number, False))
        sums = list(self._sums(steps))
        off = hypot(self.world.vehicle.measured.tolerance, self.world.vehicle.measured.tolerance)
        over = max(total for total, _, _ in sums)
        assert (over <= 0) == self._possible(steps)
        if over > 0:
            # an estimate in any of the sums that lack most
            leeway = {off + ESTIMATE_OFF_MM * g for total, _, g in sums if total == over}
            if over >= min(leeway):
                return SHORT
            asked = {ahead for _, _, ahead, _, _ in bodies}
            return (SHORT if self.strict else UNSURE) if unknown & asked else CLOSE_FIT
        stands = self._rearmost(steps)
        if any(stands[key] > 0 for key in unknown):
            return SHORT if self.strict else UNSURE
        if any(stands[key] > 0 for key in guessed):
            return CLOSE_FIT
        slack = min((-total for total, real, _ in sums if real), default=None)
        return CLOSE_FIT if slack is not None and slack < off else FITS

    @staticmethod
    def _sums(steps: Sequence[tuple[str, str, int, int, bool]]) -> list[tuple[int, bool, bool]]:
        """(mm too much, whether bodies are in it that do not cancel out, whether an estimate is) of every cycle."""
        between: dict[tuple[str, str], tuple[str, str, int, int, bool]] = {}
        for step in steps:
            key = step[0], step[1]
            if key not in between or step[2] > between[key][2]:
                between[key] = step
        points = sorted({point for step in steps for point in step[:2]})
        found = []
        for size in range(1, len(points) + 1):
            for chosen in permutations(points, size):
                if chosen[0] != min(chosen):
                    continue
                cycle = [between.get(pair) for pair in pairwise([*chosen, chosen[0]])]
                if all(cycle):
                    whole = [step for step in cycle if step is not None]
                    numbers = {step[3] for step in whole} - {0}
                    real = bool(numbers) and not (len(whole) == 2 and sum(s[3] for s in whole) == 0)
                    found.append((sum(s[2] for s in whole), real, any(s[4] for s in whole)))
        return found

    @staticmethod
    def _possible(steps: Sequence[tuple[str, str, int, int, bool]]) -> bool:
        """Whether places exist, by linear programming."""
        points = sorted({point for step in steps for point in step[:2]} | {FRONT})
        rows = []
        for start, end, *_ in steps:
            line = [0] * len(points)
            line[points.index(start)] += 1
            line[points.index(end)] -= 1
            rows.append(line)
        bounds = [(0, 0) if point == FRONT else (None, None) for point in points]
        return linprog([0] * len(points), A_ub=rows, b_ub=[-step[2] for step in steps], bounds=bounds).status == 0

    @staticmethod
    def _rearmost(steps: Sequence[tuple[str, str, int, int, bool]]) -> dict[str, int]:
        at = dict.fromkeys([point for step in steps for point in step[:2]], 0)
        for _, (start, end, need, _, _) in product(range(len(at) + 1), steps):
            at[end] = max(at[end], at[start] + need)
        return at
