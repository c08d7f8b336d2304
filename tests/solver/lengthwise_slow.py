"""Room along the car once more, from plain polygons and a list of all sums: what the slow solver holds the planner
against. Of the program only the breadths and legs of people are taken."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise, permutations, product
from math import ceil, hypot

from inequalities import Sum, body_of, raised
from known import person_of, play_of
from shapely.affinity import translate
from shapely.geometry import LineString

from seatplan.geometry.ahead import Profile, leg_need
from seatplan.model import Reckoned
from seatplan.model.vehicle import Ahead
from seatplan.rules.subjects import Placement, RuleContext
from seatplan.solver.lanes import ESTIMATE_OFF_MM, forward_at_most

FITS, CLOSE_FIT, LIKELY_FIT, UNSURE, SHORT = range(5)
FRONT = "front"
#: a length holds so far beyond the heights that it was measured at, mm
_BEYOND = 100
_SAME = 1e-6
#: start, end, need, number of the body (0: a bound; less than 0: its brace), what a tape may be off, and how far
#: the end of an estimate lies from its middle
_Step = tuple[str, str, int, int, float, float]


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


def need_of(placement: Placement, world: RuleContext) -> tuple[int, float, bool] | None:
    """How far forward of rearmost the seat ahead must stand, what its reach may be off, mm, and whether nobody measured
    it."""
    ahead = placement.position.ahead
    if ahead is None:
        return None
    if placement.mode is None or placement.booster:
        need = leg_need(placement.rider, Profile.of(ahead), floor_of(placement))
        if need.mm is None:
            return None
        measured = placement.rider.buttock_knee is not None and not isinstance(placement.rider, Reckoned)
        return need.mm, need.off, not measured
    lean = None if placement.recline is None else (placement.recline.setting, placement.recline.packing)
    body = body_of(placement.row, placement.position, placement.rider, placement.restraint, placement.mode,
                   placement.installation, placement.bars, person_of(placement.rider), play_of(world.profile), lean)
    worst: tuple[float, float] | None = None
    known = [height for height, _ in ahead.gap]
    ends = [min(known) - _BEYOND, max(known) + _BEYOND] if known else []
    for part in body.parts:
        if part.outline is None or part.person:
            continue
        outline = translate(part.outline.convex_hull, 0, -raised(placement.position))      # from its own cushion
        corners = list(outline.exterior.coords)
        low, high = min(y for _, y in corners), max(y for _, y in corners)
        for height in [*(y for _, y in corners), *known, *ends]:
            free = free_at(ahead, height)
            if free is None or not low - _SAME <= height <= high + _SAME:
                continue
            inside = min(max(height, low + 1e-9), high - 1e-9)
            cut = LineString([(-9000, inside), (9000, inside)]).intersection(outline)
            over = cut.bounds[2] - free
            if worst is None or over > worst[0] + _SAME:
                worst = over, max(part.spread, part.tolerance)
    if worst is None:
        return None
    gap = 0 if placement.mode.touch_ahead in ("may", "must") else int(world.limit("clear_of_seat_ahead"))
    return ceil(worst[0] + gap - 1e-5), worst[1], False


def floor_of(placement: Placement) -> int | None:
    """How high the place's own cushion lies above the floor."""
    own, floor = placement.position.cushion, placement.row.cushion.above_floor
    if own is not None and own.above_floor is not None:
        return own.above_floor
    return None if floor is None else max(0, floor + raised(placement.position))


def stopped_by_airbag(placement: Placement, world: RuleContext) -> bool:
    """Whether a child under the age for the front sits where an airbag is that nobody switched off: that seat does not
    move."""
    front = placement.position.airbag.front if placement.position.airbag else None
    off = placement.position.position in world.trip.airbags_off
    months = world.age_months(placement.rider)
    return (not placement.rider.adult and (front in ("active", "automatic") or (front == "switchable" and not off))
            and not (months is not None and months >= world.profile.limit("front_seat_min_age")))


class Lengthwise:
    """Judges whole seatings. Answers are kept by what the seating asks and takes."""

    def __init__(self, world: RuleContext) -> None:
        self.world, self.strict, self.worst_case = world, world.options.strict, world.options.worst_case
        vehicle = world.vehicle
        #: how much further a seat comes that nobody sits in
        self.beyond: dict[str, int] = {}
        self.travel = {f"row {row.row}": row.slides for row in vehicle.rows if row.slides}
        # seats that slide together, by each of them
        self.part = {seat: " and ".join(part.positions) for row in vehicle.rows for part in row.parts if part.slides
                     for seat in part.positions}
        for row in vehicle.rows:
            self.travel.update((" and ".join(part.positions), part.slides) for part in row.parts if part.slides)
        for position in vehicle.positions():
            ahead = position.ahead
            if not ahead or not ahead.seat or ahead.travel is None or f"row {ahead.seat[0]}" in self.travel or (
                    ahead.seat in self.part):
                continue
            more = 0 if ahead.seat == world.trip.drives else ahead.beyond_use or 0
            # the file says it at each position behind; the least counts
            if ahead.travel or more:
                self.travel[ahead.seat] = min(ahead.travel, self.travel.get(ahead.seat, ahead.travel))
            if more:
                self.beyond[ahead.seat] = min(more, self.beyond.get(ahead.seat, more))
        self.kept: dict[tuple[object, ...], int] = {}
        self.needs: dict[int, tuple[Placement, tuple[int, float, bool] | None]] = {}
        self.seconds: dict[int, tuple[Placement, Placement]] = {}
        self.tape = float(vehicle.measured.tolerance)

    def moves_with(self, position: str) -> str:
        row = f"row {position[0]}"
        if position in self.part:
            return self.part[position]
        return position if position in self.travel else row if row in self.travel else FRONT

    def level(self, placements: Sequence[Placement]) -> int:
        bodies = []
        # what lies across two places is behind the seats ahead of both
        beside = {id(p): self.seconds.setdefault(id(p), (p, replace(p, position=p.second, second=p.position)))[1]
                  for p in placements if p.second is not None}
        placements = [one for p in placements for one in ((p, beside[id(p)]) if id(p) in beside else (p,))]
        for p in placements:
            if id(p) not in self.needs:
                self.needs[id(p)] = p, need_of(p, self.world)
            need, ahead = self.needs[id(p)][1], p.position.ahead
            if need is None or ahead is None:
                continue
            braced = p.mode is not None and p.mode.touch_ahead == "must"
            seat_ahead = FRONT if ahead.seat is None else self.moves_with(ahead.seat)
            bodies.append((p.position.position, self.moves_with(p.position.position), seat_ahead, *need, braced))
        if not bodies:
            return FITS
        stopped = {self.moves_with(p.position.position) for p in placements if stopped_by_airbag(p, self.world)}
        key = (*sorted(bodies), *sorted(p.position.position for p in placements), *sorted(stopped))
        if key not in self.kept:
            self.kept[key] = self._judge(bodies, {p.position.position for p in placements}, stopped)
        return self.kept[key]

    def _judge(self, bodies: Sequence[tuple[str, str, str, int, float, bool, bool]], taken: set[str],
               stopped: set[str]) -> int:
        level = self._judged(bodies, taken, stopped, False)
        return level if level <= CLOSE_FIT else self._judged(bodies, taken, stopped, True)

    def _judged(self, bodies: Sequence[tuple[str, str, str, int, float, bool, bool]], taken: set[str],
                stopped: set[str], guess: bool) -> int:
        """Without a ``guess`` a seat of whose occupant only the stature is known stays rearmost, which anybody can
        live with."""
        trip = self.world.trip
        first = [p.position for p in self.world.vehicle.rows[0].positions]
        unknown: set[str] = set()
        guessed: set[str] = set()
        steps: list[_Step] = []
        for key, travel in self.travel.items():
            limit, how = travel + (0 if key in taken else self.beyond.get(key, 0)), False
            if key in stopped:
                steps += [(FRONT, key, 0, 0, 0, 0.0), (key, FRONT, 0, 0, 0, 0.0)]
                continue
            for seat in taken | {trip.drives}:
                if self.moves_with(seat) != key or ((key != seat or seat in self.part) and (
                        seat not in first and seat not in trip.front)):
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
                elif own < limit:
                    how = False
                limit = min(limit, own)
            off = self.tape, 0.0
            if how:
                limit, off = (limit, (0.0, float(ESTIMATE_OFF_MM))) if guess else (0, (0.0, 0.0))
            steps += [(FRONT, key, 0, 0, 0, 0.0), (key, FRONT, -limit, 0, *off)]
        for number, (_, own_mover, ahead, need, off, guess, braced) in enumerate(bodies, 1):
            # of an estimate the ends are added plainly, and the tape on what is free beside it
            offs = (self.tape, off) if guess else (self.together(off, self.tape), 0.0)
            steps.append((own_mover, ahead, need, number, *offs))
            if braced:
                steps.append((ahead, own_mover, -need, -number, *offs))
        sums = self._sums(steps)
        # a limit that nobody gave counts where none at all would be short or close
        held = [(a, b, 0 if b == FRONT and a in unknown and not body else need, body, off, guess)
                for a, b, need, body, off, guess in steps]
        blind = any(total > -off and unknown & points for total, off, points, _ in self._sums(held))
        likely, unsure = (SHORT, SHORT) if self.strict else (LIKELY_FIT, UNSURE)
        assert (max(total for total, *_ in sums) <= 0) == self._possible(steps)
        if any(total > 0 and total >= off for total, off, *_ in sums):
            return SHORT
        if blind:
            return unsure
        told = [Sum(total, off, guess) for total, off, _, guess in sums]
        if any(one.open for one in told):
            return unsure
        if any(one.likely for one in told):
            return likely
        if any(one.close for one in told):
            return CLOSE_FIT
        stands = self._rearmost(steps)
        return likely if any(stands[key] > 0 for key in guessed) else FITS

    def together(self, *offs: float) -> float:
        """What a sum may be off whose lengths may be off by so much each."""
        return sum(offs) if self.worst_case else hypot(*offs)

    def _sums(self, steps: Sequence[_Step]) -> list[tuple[int, float, set[str], float]]:
        """(mm too much, what it may be off, what stands in it, what of that is only estimated) of every cycle with a
        body that does not cancel."""
        between: dict[tuple[str, str], list[_Step]] = {}
        for step in steps:
            between.setdefault((step[0], step[1]), []).append(step)
        points = sorted({point for step in steps for point in step[:2]})
        found = []
        for size in range(1, len(points) + 1):
            for chosen in permutations(points, size):
                if chosen[0] != min(chosen):
                    continue
                for cycle in product(*(between.get(pair, []) for pair in pairwise([*chosen, chosen[0]]))):
                    bodies = [step[3] for step in cycle if step[3]]
                    if bodies and not (len(cycle) == 2 and bodies[0] == -bodies[-1]):
                        guess = sum(step[5] for step in cycle)
                        off = self.together(*(step[4] for step in cycle)) + guess
                        found.append((sum(step[2] for step in cycle), off,
                                      set(chosen), guess))
        return found

    @staticmethod
    def _possible(steps: Sequence[_Step]) -> bool:
        """Whether places exist, by linear programming."""
        from scipy.optimize import linprog

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
    def _rearmost(steps: Sequence[_Step]) -> dict[str, int]:
        at = dict.fromkeys([point for step in steps for point in step[:2]], 0)
        for _, (start, end, need, *_) in product(range(len(at) + 1), steps):
            at[end] = max(at[end], at[start] + need)
        return at
