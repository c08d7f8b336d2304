"""Along the car, as the search sees it: what each way to fill a row asks of the seats ahead, and what it takes.

Rows meet along the car only where somebody needs a seat ahead moved forward, or sits in a seat that somebody behind
needs forward. A *lane* says just that, of one row or of several together; what never matters is left out, so in most
trips nearly all lanes are the empty one. A *way* is what a plan comes to: the lanes it can choose from, each with the
level at which it has it. Lanes and ways are known by their numbers.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

from seatplan.fields import Missing, field
from seatplan.geometry.ahead import Need
from seatplan.geometry.chain import Addend, Solution, Squeeze, squeeze_of
from seatplan.geometry.lengthwise import (
    FRONT,
    Behind,
    Mover,
    Sum,
    behind,
    mover_of,
    solve_lengthwise,
    stands_mm,
    sums,
    together,
)
from seatplan.geometry.tolerance import BELIEVED, combined, hangs_on, of_steps
from seatplan.message import Amount, said
from seatplan.model import Reckoned
from seatplan.model.own_seat import slides_at
from seatplan.rules.ahead import beyond_use, need_ahead, need_key
from seatplan.rules.airbag import can_fire, stays_rearmost
from seatplan.rules.corners import is_estimated, unkind

from .lane import Along, Ask, LengthwiseDemand, apart
from .rowplans import CLOSE_FIT, FITS, LIKELY_FIT, TOO_TIGHT, UNSURE, Level

if TYPE_CHECKING:
    from seatplan.geometry.chain import Step
    from seatplan.rules.subjects import Placement, RuleContext
    from seatplan.store import Shelf


#: ANSUR II statures: the 95th percentile man sits rearmost, the 5th percentile woman foremost, straight between
#: (from memory that seats are laid out so; a driver's choice varies about it with an SD of some 30 mm, from memory, so
#: that 70 mm hold from the 1st to the 99th percentile)
_REARMOST_AT_MM, _FOREMOST_AT_MM, ESTIMATE_OFF_MM = 1870, 1525, 70


def forward_at_most(stature_mm: int, travel_mm: int) -> int:
    """An estimate of how far forward of rearmost somebody drives, mm."""
    share = (_REARMOST_AT_MM - stature_mm) / (_REARMOST_AT_MM - _FOREMOST_AT_MM)
    return round(travel_mm * min(1.0, max(0.0, share)))


class Lanes:
    """The lanes and ways of one solve. Every answer is kept."""

    def __init__(self, world: RuleContext) -> None:
        self._world, self._vehicle = world, world.vehicle
        self._tape, self._worst_case = float(world.vehicle.measured.tolerance), world.options.worst_case
        self._strict = world.options.strict              # a limit that nobody gave is not enough
        #: sizes that are only reckoned make nothing better than likely
        self.least = LIKELY_FIT if any(isinstance(rider, Reckoned) for rider in world.trip.riders) else FITS
        self._movers, self._beyond = _possible_movers(world), _beyond_use(world)
        self._held = _held(world, self._movers)
        self._before_airbags = frozenset(
            p.position for p in world.vehicle.positions()
            if mover_of(p.position, self._movers) != FRONT and can_fire(p, world))
        self._lanes: list[LengthwiseDemand] = []
        self._lane_ids: dict[LengthwiseDemand, int] = {}
        self._ways: list[frozenset[tuple[int, Level]]] = []
        self._way_ids: dict[frozenset[tuple[int, Level]], int] = {}
        self._joined: dict[tuple[int, int], int] = {}
        self._paired: dict[tuple[int, int], int] = {}
        self._levels: dict[int, Level] = {}
        self._lane_levels: dict[int, Level] = {}
        self._asked: dict[tuple[object, ...], Ask | None] = {}
        self._judged: dict[int, Along] = {}
        self._lacking: dict[tuple[str, str], Missing] = {}
        trip, drivers = world.trip, [rider.height for rider in world.trip.riders if rider.drives]
        # all that says how far the seats ahead come forward
        self._here = world.store.number((
            "lanes", world.vehicle.content, tuple((seat, limit.content) for seat, limit in trip.front.items()),
            trip.drives, drivers[0] if drivers else None, world.options))
        self._answers: Shelf[Along] = world.store.shelf("lanes", weight=4)
        self.empty = self.number(LengthwiseDemand())
        self.nothing = self.way(frozenset({(self.empty, FITS)}))

    def number(self, lane: LengthwiseDemand) -> int:
        """The number of a lane."""
        kept = self._lane_ids.get(lane)
        if kept is None:
            kept = self._lane_ids[lane] = len(self._lanes)
            self._lanes.append(lane)
        return kept

    def lane_of(self, placements: Iterable[Placement]) -> int:
        """What the bodies of one row ask and take."""
        asks, takes, rearmost = [], [], []
        for placement in sides(placements):
            key = (*need_key(placement), placement.mode and placement.mode.content)
            if key not in self._asked:
                self._asked[key] = self._ask(placement)
            ask = self._asked[key]
            if ask is not None:
                asks.append(ask)
            if placement.position.position in self._held:
                takes.append(placement.position.position)
            if self.keeps_rearmost(placement):
                rearmost.append(placement.position.position)
        return self.number(LengthwiseDemand(tuple(sorted(asks)), tuple(sorted(takes)), tuple(sorted(rearmost))))

    def keeps_rearmost(self, placement: Placement) -> bool:
        """Whether a placement keeps a seat that could move, or its sliding row, as far back as it goes."""
        return placement.position.position in self._before_airbags and stays_rearmost(placement, self._world)

    def way(self, lanes: frozenset[tuple[int, Level]]) -> int:
        """The number of a choice of lanes, each with its level; the same lane at a worse level is left out."""
        known = self._way_ids.get(lanes)
        if known is not None:
            return known
        best: dict[int, Level] = {}
        for lane, level in lanes:
            best[lane] = min(level, best.get(lane, level))
        kept = frozenset(best.items())
        number = self._way_ids.get(kept)
        if number is None:
            number = self._way_ids[kept] = len(self._ways)
            self._ways.append(kept)
        return number

    def join(self, one: int, other: int) -> int:
        """The way of two plans of different rows together."""
        if one == self.nothing:
            return other
        if other == self.nothing:
            return one
        key = (one, other)
        joined = self._joined.get(key)
        if joined is None:
            joined = self._joined[key] = self.way(frozenset(
                (self.pair(a, b), max(la, lb)) for a, la in self._ways[one] for b, lb in self._ways[other]))
        return joined

    def told(self, way: int) -> frozenset[tuple[LengthwiseDemand, Level]]:
        """The lanes of a way, each with its level."""
        return frozenset([(self._lanes[lane], level) for lane, level in self._ways[way]])

    def asks(self, way: int) -> bool:
        """Whether any lane of a way asks something of a seat ahead."""
        return any(self._lanes[lane].asks for lane, _ in self._ways[way])

    def pair(self, one: int, other: int) -> int:
        """The lane of two together."""
        if one == self.empty:
            return other
        if other == self.empty:
            return one
        kept = self._paired.get((one, other))
        if kept is not None:
            return kept
        a, b = self._lanes[one], self._lanes[other]
        kept = self._paired[one, other] = self.number(LengthwiseDemand(
            tuple(sorted((*a.asks, *b.asks))), tuple(sorted((*a.takes, *b.takes))),
            tuple(sorted((*a.rearmost, *b.rearmost)))))
        return kept

    def level(self, way: int) -> Level:
        """The best level of a whole seating that goes this way."""
        level = self._levels.get(way)
        if level is None:
            best = min([max(own, self._level_of(lane)) for lane, own in self._ways[way]])
            level = self._levels[way] = max(best, self.least)
        return level

    def _level_of(self, lane: int) -> Level:
        """The level of a lane: that of the worst of its parts, which meet in no seat."""
        level = self._lane_levels.get(lane)
        if level is None:
            whole = self._lanes[lane]
            parts = apart(whole.asks, self._movers)
            level = self._lane_levels[lane] = self.judge(lane).level if len(parts) == 1 else max(
                (self.judge(self.number(self._part_of(whole, asks))).level for asks in parts), default=FITS)
        return level

    def _part_of(self, whole: LengthwiseDemand, asks: tuple[Ask, ...]) -> LengthwiseDemand:
        """What of a lane concerns some of its asks."""
        movers = {mover_of(seat, self._movers) for ask in asks for seat in (ask.position, ask.seat_ahead)}
        return LengthwiseDemand(asks, *(tuple([seat for seat in seats if mover_of(seat, self._movers) in movers])
                            for seats in (whole.takes, whole.rearmost)))

    def together(self, lanes: Sequence[int]) -> int:
        """The lane of all rows, from the lanes of each."""
        whole = self.empty
        for lane in lanes:
            whole = self.pair(whole, lane)
        return whole

    def judge(self, lane: int) -> Along:
        """Whether the seats ahead can stand so that everybody of a lane has the room."""
        along = self._judged.get(lane)
        if along is None:
            key = self._here, self._lanes[lane]
            along = self._judged[lane] = self._answers.get(key) or self._answers.put(key, self._judge(lane))
        return along

    def _judge(self, lane: int) -> Along:
        asks = self._lanes[lane].asks
        assumed = [ask for ask in asks if ask.assumed]
        along = self._judge_asks(lane, asks)
        if not assumed:
            return along
        of = tuple((ask.assumed, ask.position) for ask in assumed)
        if along.level < TOO_TIGHT:
            return along._replace(level=max(along.level, self._likely), of=of,
                                  estimates=(*along.estimates, *dict.fromkeys(ask.assumed for ask in assumed)))
        without = self._judge_asks(lane, [ask for ask in asks if not ask.assumed])
        if without.level >= TOO_TIGHT:
            return without
        lacking = self._lacking[assumed[0].position, assumed[0].assumed]
        return without._replace(level=TOO_TIGHT if self._strict else UNSURE, lacking=lacking)

    def _judge_asks(self, lane: int, asks: Sequence[Ask]) -> Along:
        plain = [Behind(a.position, a.position, a.seat_ahead, a.need_mm, a.braced, (
            Addend(said("need at {position}", position=a.position), a.need_mm, a.off_mm - a.guess_mm),
            Addend(said("reach at {position}", position=a.position), 0, a.guess_mm, estimated=a.estimated)))
            for a in asks]
        return self.solve(plain, self._lanes[lane].takes, self._lanes[lane].rearmost)

    def solve(self, bodies: Sequence[Behind], takes: Sequence[str], rearmost: Sequence[str] = ()) -> Along:
        """The chain along the car for some bodies, with somebody in the seats that are taken; ``rearmost`` are those
        that may not come forward."""
        whole = self._solve(bodies, takes, rearmost)
        parts = apart(bodies, self._movers)
        if len(parts) < 2 or whole.level == TOO_TIGHT:
            return whole
        # each by itself can lean on an estimate that the whole does not tell where another sum is close
        alone = [self._solve(part, takes, rearmost) for part in parts]
        estimates = tuple(dict.fromkeys((*whole.estimates, *(one for part in alone for one in part.estimates))))
        return whole._replace(level=max(part.level for part in alone), estimates=estimates)

    def _solve(self, bodies: Sequence[Behind], takes: Sequence[str], rearmost: Sequence[str]) -> Along:
        if not bodies:
            return Along(FITS, None)
        movers, unknown, estimated = self._movers_with(takes, rearmost)
        if any(mover.estimated for mover in movers):
            # anybody can live with a seat that stays rearmost: where that is enough, nothing rests on a guess
            still = [Mover(mover.key, mover.travel_mm, 0, mover.why) if mover.estimated else mover
                     for mover in movers]
            along = self._solve_with(bodies, still, unknown, {})
            if along.level <= CLOSE_FIT:
                return along
        return self._solve_with(bodies, movers, unknown, estimated)

    def _solve_with(self, bodies: Sequence[Behind], movers: Sequence[Mover], unknown: Sequence[str],
                    estimated: Mapping[str, str]) -> Along:
        """The same with movers that can come so far forward."""
        answer = solve_lengthwise(bodies, movers)
        ways = sums(bodies, movers, self._worst_case)
        narrow = max(ways, key=lambda way: way.over + way.off)
        if isinstance(answer, Squeeze):
            lacking = [way for way in ways if way.over > 0]
            beyond = [way for way in lacking if way.over >= way.off]
            worst = max(beyond or lacking, key=lambda way: (way.over, -len(way.steps)))
            answer, within = squeeze_of(worst.steps), worst.off
            if beyond:
                return Along(TOO_TIGHT, answer, within)
            blind = self._hangs_on(unknown, bodies, movers)
            return self._open(ways, answer, within, blind)
        blind = self._hangs_on(unknown, bodies, movers)
        if blind:
            return self._open(ways, answer, self._off(answer.tight), blind)
        if any(hangs_on(way.over, way.off, way.guess) != "fits" for way in ways):
            # what it may be off decides, so that is the sum to show
            stretch = sum(step.stretch for step in narrow.steps)
            shown = answer._replace(spare=Fraction(-narrow.over) / max(1, stretch), tight=narrow.steps)
            return self._open(ways, shown, narrow.off)
        leans_on = tuple(limit for key, limit in estimated.items() if answer.at.get(key, 0) > 0)
        if leans_on:
            return Along(self._likely, answer, self._off(answer.tight), "", leans_on)
        return Along(FITS, answer, self._off(answer.tight))

    def _open(self, ways: Sequence[Sum], answer: Solution | Squeeze, off: float, blind: str = "") -> Along:
        """A lane in which what a sum may be off decides, or a limit that nobody gave; an estimate in any such sum
        counts more than the tape."""
        if blind:
            return Along(TOO_TIGHT if self._strict else UNSURE, answer, off, blind)
        come_to = [(hangs_on(way.over, way.off, way.guess), way) for way in ways]
        undecided = tuple(dict.fromkeys(guess for told, way in come_to if told == "open" for guess in way.estimates))
        if undecided:
            lacking = Missing(undecided[0], said("it is only estimated: measure it"), "mm")
            return Along(TOO_TIGHT if self._strict else UNSURE, answer, off, "", undecided, lacking)
        guesses = tuple(dict.fromkeys(guess for told, way in come_to if told == "likely" for guess in way.estimates))
        if guesses:
            return Along(self._likely, answer, off, "", guesses)
        return Along(CLOSE_FIT if any(told == "close" for told, _ in come_to) else FITS, answer, off)

    def _hangs_on(self, unknown: Sequence[str], bodies: Sequence[Behind], movers: Sequence[Mover]) -> str:
        """The first seat whose occupant's limit nobody gave although it counts: if it were rearmost and no further,
        a sum that it is in would be short or close."""
        if not unknown:
            return ""
        keys = {mover_of(seat, self._movers): seat for seat in reversed(unknown)}
        held = [mover._replace(limit_mm=0) if mover.key in keys else mover for mover in movers]
        touched = {step.start for way in sums(bodies, held, self._worst_case) if way.over > -way.off
                   for step in way.steps}
        return next((seat for key, seat in keys.items() if key in touched), "")

    def _off(self, steps: Sequence[Step]) -> float:
        tolerance = of_steps(steps)
        return tolerance.worst if self._worst_case else tolerance.likely

    @property
    def _likely(self) -> Level:
        return TOO_TIGHT if self._strict else LIKELY_FIT

    def limits(self, takes: Sequence[str], rearmost: Sequence[str] = ()) -> dict[str, Addend]:
        """How far forward each movable seat or row can stand with these seats taken."""
        return {mover.key: mover.most for mover in self._movers_with(takes, rearmost)[0]}

    def beyond_use(self, stands: Iterable[tuple[str, int]]) -> tuple[str, ...]:
        """Those seats, of some with how far forward of rearmost each stands, mm, that nobody may sit in there."""
        return tuple(seat for seat, mm in stands if seat in self._beyond and mm > self._movers[seat].travel_mm)

    def stands_short(self, bodies: Sequence[Behind], takes: Sequence[str], rearmost: Sequence[str],
                     short_mm: float) -> tuple[tuple[str, int], ...]:
        """Where movers stand, mm, in a car that is ``short_mm`` too short for some bodies, within what the tape may be
        off: as far forward as they are needed, and no further than they can."""
        movers = self._movers_with(takes, rearmost)[0]
        longer = [Mover(mover.key, ceil(short_mm - mover.most.mm)) for mover in movers]
        answer = solve_lengthwise(bodies, longer)
        needed = stands_mm(answer) if isinstance(answer, Solution) else {}
        stands = {mover.key: min(needed.get(mover.key, 0), round(-mover.most.mm)) for mover in movers}
        return tuple((key, mm) for key, mm in sorted(stands.items()) if mm > 0)

    def need(self, placement: Placement) -> Need | None:
        """How far forward the seat ahead must stand for a placement; None where nothing is known to be ahead. Of one
        that is only estimated as it needs most."""
        return self._need(placement)[0]

    def is_assumed(self, placement: Placement) -> bool:
        """Whether the need of a placement is one that nobody measured, and that was taken as it needs most."""
        return self._need(placement)[1] is not None

    def _need(self, placement: Placement) -> tuple[Need | None, Missing | None]:
        """The same, and what of it nobody measured, where it was estimated."""
        need = need_ahead(placement, self._world)
        if need is None or (need.mm is not None and need.missing is None) or not is_estimated(placement):
            return need, None
        ends = [need_ahead(unkind(placement, n, world), world) for n, world in enumerate(self._world.corners())]
        known = [end for end in ends if end is not None and end.mm is not None and end.missing is None]
        if len(known) < len(ends):
            return need, None
        lacking = need.missing or field("position.ahead", position=placement.position.position)
        return max(known, key=lambda end: end.mm or 0), lacking

    def behind(self, placement: Placement) -> Behind | None:
        """The same as a body of the chain, with its addends named; None where it asks nothing."""
        ahead, need = placement.position.ahead, self.need(placement)
        if ahead is None or need is None or need.mm is None:
            return None
        braced = placement.mode is not None and placement.mode.touch_ahead == "must"
        own = self._movers.get(mover_of(placement.position.position, self._movers))
        slides = 0 if own is None else own.travel_mm
        # with so much to spare it can make no sum close, wherever its own row stands
        off = BELIEVED * need.off if need.estimated else need.off
        if not braced and -need.mm - slides >= off + 2 * self._tape:
            return None
        # what cannot move, a partition or a console, stands where everything stands rearmost
        return behind(placement.rider.rider, placement.position.position, ahead.seat or FRONT, need, braced, self._tape)

    def asks_surely(self, placement: Placement) -> bool:
        """Whether a placement asks something of a seat ahead by what was measured. Legs that are only estimated make
        no sum close: it is likely or open then."""
        need = self.need(placement)
        return need is not None and not need.estimated and self.behind(placement) is not None

    def _ask(self, placement: Placement) -> Ask | None:
        body = self.behind(placement)
        if body is None:
            return None
        lacking = self._need(placement)[1]
        if lacking is not None:
            self._lacking[body.position, lacking.field] = lacking
        off = combined(body.addends)
        return Ask(body.position, body.seat_ahead, body.need_mm, body.braced,
                   off.worst if self._worst_case else off.likely,
                   next((a.estimated for a in body.addends if a.estimated), ""), off.guess,
                   "" if lacking is None else lacking.field)

    def _movers_with(self, takes: Sequence[str],
                     rearmost: Sequence[str]) -> tuple[list[Mover], list[str], dict[str, str]]:
        """The movers as this seating has them, the taken ones whose occupant's limit nobody gave, and by mover what
        limit is only an estimate."""
        movers: list[Mover] = []
        unknown: list[str] = []
        estimated: dict[str, str] = {}
        for key, mover in self._movers.items():
            kept = next((seat for seat in rearmost if mover_of(seat, self._movers) == key), None)
            if kept is not None:             # at its stop, which no tape reads; nobody's limit counts any more
                movers.append(Mover(key, mover.travel_mm, 0, said(
                    "{seat} stays rearmost, a child before its airbag", seat=kept)))
                continue
            if key in self._beyond and key not in takes and key != self._world.trip.drives:
                more = self._beyond[key]
                movers.append(mover._replace(travel_mm=mover.travel_mm + more, beyond_mm=more))
                continue
            for seat in self._held:
                if mover_of(seat, self._movers) != key or not (seat in takes or seat == self._world.trip.drives):
                    continue
                limit, how = self._limit(seat, mover.travel_mm)
                if limit is None:
                    unknown.append(seat)
                    continue
                who = said("the driver") if seat == self._world.trip.drives else said("whoever sits at {seat}",
                                                                                      seat=seat)
                why = said("{who}{how} allows", who=who, how=how)
                if how:
                    estimated.setdefault(key, why)
                if mover.limit_mm is None or (limit, not how) < (mover.limit_mm, not mover.estimated):
                    mover = Mover(key, mover.travel_mm, limit, why, ESTIMATE_OFF_MM if how else self._tape, bool(how))
            movers.append(mover)
        return movers, unknown, estimated

    def _limit(self, seat: str, travel_mm: int) -> tuple[int | None, str]:
        """How far forward the occupant of a front seat can live with: as given, or estimated from stature."""
        given = self._world.trip.front.get(seat)
        if given is not None and given.forward_at_most is not None:
            return given.forward_at_most, ""
        stature = given.stature if given is not None else None
        if stature is None and seat == self._world.trip.drives:
            stature = next((rider.height for rider in self._world.trip.riders if rider.drives), None)
        if stature is None:
            return None, ""
        return forward_at_most(stature, travel_mm), said(" (estimated from {stature})",
                                                         stature=Amount(stature / 10, "cm"))


def sides(placements: Iterable[Placement]) -> Iterator[Placement]:
    """Placements as the seats ahead see them: one that lies across two places from each of both."""
    for placement in placements:
        beside = placement.from_second()
        yield from (placement,) if beside is None else (placement, beside)


def _possible_movers(world: RuleContext) -> dict[str, Mover]:
    """Rows and parts of rows that slide, and seats that the file gives a travel."""
    tape = float(world.vehicle.measured.tolerance)
    movers: dict[str, Mover] = {}
    for row in world.vehicle.rows:
        bodies = [(together(part.positions), part.slides) for part in row.parts] or [
            (said("row {row}", row=row.row), row.slides)]
        movers.update((key, Mover(key, slides, off_mm=tape)) for key, slides in bodies if slides)
    sliding = dict(movers)
    for position in world.vehicle.positions():
        ahead = position.ahead
        if ahead and ahead.seat and (ahead.travel or beyond_use(ahead, world)) and (
                mover_of(ahead.seat, sliding) == FRONT):
            # said at each position behind it: where they differ, the least is sure
            known = movers.get(ahead.seat)
            travel = ahead.travel or 0 if known is None else min(ahead.travel or 0, known.travel_mm)
            movers[ahead.seat] = Mover(ahead.seat, travel, off_mm=tape)
    return dict(sorted(movers.items()))


def _beyond_use(world: RuleContext) -> dict[str, int]:
    """How much further than anybody may sit in it each seat can be pushed, mm; the least that is said of it."""
    found: dict[str, int] = {}
    for position in world.vehicle.positions():
        ahead = position.ahead
        more = 0 if ahead is None else beyond_use(ahead, world)
        if ahead is not None and ahead.seat is not None and more:
            found[ahead.seat] = min(more, found.get(ahead.seat, more))
    return found


def _held(world: RuleContext, movers: Mapping[str, Mover]) -> tuple[str, ...]:
    """The positions whose occupants say how far forward they can live with. In a row or a part of it that slides those
    are the first row's, which has nothing ahead that would say it, and those that the trip gives a limit."""
    first = world.vehicle.front_row
    return tuple(p.position for row in world.vehicle.rows for p in row.positions
                 if mover_of(p.position, movers) != FRONT and (
                     not slides_at(row, p.position) or row is first or p.position in world.trip.front))
