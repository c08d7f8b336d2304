"""Checks a plan apart from the solver: every certificate again, from the raw records and the plan's JSON.

``Checker.problems`` returns sentences; none means all is well. What bodies must keep is in ``inequalities``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from itertools import combinations, product
from math import floor
from typing import Any

from inequalities import (
    LEFT_DOOR,
    Body,
    Need,
    Person,
    Play,
    body_of,
    lacks_numbers,
    needs_of,
    off_by,
    room,
    second_place,
    sums_of,
    unlisted_driver,
)
from likes import alike, copies_of, in_order, kinds_of
from places import all_seatings, places_do, with_what_is_built_in
from straps import clash

from seatplan.estimate import estimated
from seatplan.model import Installation, Mode, Restraint, Rider, Row, Trip, UnderWay
from seatplan.model.estimated import EstimatedRider
from seatplan.rules.subjects import Placement

Json = Mapping[str, Any]
#: two buckles of one row may not be nearer, mm: the profiles' own
TONGUE_MM = 30
#: how far a restraint that holds may move at its belt path, mm
HELD_MM = 25


class Checker:
    """Checks one plan's JSON against its trip. ``people`` gives a rider's breadths, measured or estimated."""

    def __init__(self, trip: Trip, plan: Json, people: Callable[[Rider], Person], play: Play,
                 belts_overlap: float, room_ahead: Callable[[Json], int | None] | None = None) -> None:
        """``room_ahead``: how far forward the seat ahead of a placement must stand, worked out apart."""
        trip = with_what_is_built_in(trip)
        self.room_ahead = room_ahead
        self.trip, self.plan, self.people, self.play = trip, plan, people, play
        self.belts_overlap = belts_overlap
        self.riders = {rider.rider: rider for rider in trip.riders}
        # of whom only the age is known: the largest of that age
        self.largest = {rider.rider: rider.corners[-1] for rider in estimated(trip, trip.on or date.min).riders
                        if isinstance(rider, EstimatedRider)}
        self.kinds = kinds_of(trip)
        self.worst_case = bool(plan.get("worst_case"))       # a refusal alone does not say
        self.found: list[str] = []

    def problems(self) -> list[str]:
        self._tally()
        for arrangement in self.plan["arrangements"]:
            self._arrangement(arrangement)
        self._under_way()
        for certificate in self.plan["certificates"]:
            {"squeeze": self._squeeze, "contest": self._contest, "shortage": self._shortage}[certificate["kind"]](
                certificate)
        return self.found

    def _say(self, condition: bool, text: str) -> None:
        if not condition:
            self.found.append(text)

    def _tally(self) -> None:
        tally = self.plan["tally"]
        self._say(tally["arrangements"] == tally["valid"] + sum(tally[f"ruled_out_by_{by}"] for by in (
            "placement", "contest", "squeeze")),
                  "the tally does not add up")
        self._say(tally["ruled_out_by_contest"] == sum(tally["contests"].values()), "the contests do not add up")
        self._say(tally["valid"] == sum(tally["valid_by_verdict"].values()), "the levels do not add up")
        self._say(self.plan["alike"] == alike(self.kinds), "told wrongly what is alike")
        every = all_seatings(self.trip, self.kinds)
        self._say(tally["arrangements"] == every, f"{tally['arrangements']} seatings, but there are {every}")

    # ---- what is under way

    def _under_way(self) -> None:
        """It comes first where it can be at all, and what is nearest to it before what is further; who is next, and
        what holds."""
        told, aims = self.plan.get("under_way") or [], self.trip.under_way
        off = [sum(not self._as_noted(seat, aims[seat["rider"]]) for seat in arrangement["seats"]
                   if seat["rider"] in aims) for arrangement in self.plan["arrangements"]]
        self._say(off == sorted(off), f"further from what is under way comes first: {off}")
        possible = bool(off) and off[0] == 0
        self._say(all(one["possible"] == possible for one in told), f"it can be like that: {possible}, told {told}")
        holding = [one["rider"] for one in told if one["holds"]]
        waiting = [one["rider"] for one in told if not one["holds"]] if possible else []
        self._say([one["rider"] for one in told if one["next"]] == waiting[:1], f"{waiting} wait, told {told}")
        self._say(not any(one["refused_by"] for one in told) or not possible, "refused, and possible")
        for rider in holding:
            here, aim = self.trip.installed.get(rider), aims[rider]
            self._say(not any(one["refused_by"] for one in told if one["rider"] == rider), f"{rider} holds, refused")
            if self._passed_the_belt_test(rider, aim):
                continue
            read = here.readings if here is not None else None
            self._say(here is not None and read is not None and all(
                getattr(here, key) == getattr(aim, key) for key in ("restraint", "position", "mode", "by")),
                f"{rider} holds, and is not installed so")
            moved = [mm for mm in (read.sideways, read.forwards, read.moved) if mm is not None] if read else []
            self._say(read is not None and max(moved, default=0) <= HELD_MM and read.level is not False
                      and read.belt_fits is not False, f"{rider} holds against what was read")

    def _passed_the_belt_test(self, rider: str, aim: UnderWay) -> bool:
        """Whether how the vehicle belt lies on a rider was tested at the very seat, and nothing else is in there."""
        test, here = self.riders[rider].belt_fit, self.trip.installed.get(rider)
        as_aimed = here is not None and (here.restraint, here.position) == (None, aim.position)
        return (aim.restraint is None and not as_aimed and test is not None and test.passed
                and test.position == aim.position and (test.on is None or test.on <= (self.trip.on or date.max)))

    @staticmethod
    def _as_noted(seat: Json, aim: UnderWay) -> bool:
        return (seat["position"], seat["restraint"]) == (aim.position, aim.restraint) and (
            aim.mode in (None, seat["mode"])) and aim.by in (None, seat["by"])

    # ---- arrangements

    def _arrangement(self, arrangement: Json) -> None:
        placements = arrangement["seats"]
        rank = arrangement["rank"]
        self._say(sorted(p["rider"] for p in placements) == sorted(self.riders), f"{rank}: not everybody rides once")
        self._used_once(rank, placements)
        for placement in placements:
            self._limits(rank, placement)
            self._say(not any(f["outcome"] == "block" for f in placement["findings"]), f"{rank}: a blocked placement")
            self._records_of(rank, placement)
            told = arrangement["verdict"]
            self._say(told != "fits" or not any(f["close"] for f in placement["findings"]),
                      f"{rank}: told to fit, and a finding is close")
            self._say(told not in ("fits", "close") or not any(f["estimates"] for f in placement["findings"]),
                      f"{rank}: told to be close, and a finding rests on an estimate")
        self._say(not any(f["outcome"] == "block" for f in arrangement["findings"]), f"{rank}: a finding blocks")
        self._lengthwise(arrangement)
        for shown in arrangement["rows"]:
            row = next(r for r in self.trip.vehicle.rows if r.row == shown["row"])
            seated = [p for p in placements if self.trip.vehicle.row_of(p["position"]) is row]
            problems = [self._row_problem(row, seated, shown, bodies, arrangement["verdict"], largest)
                        for bodies, largest in zip(self._bodies(row, seated), self._bodies(row, seated, True),
                                                   strict=True)]
            self._say(None in problems, f"{rank}, row {row.row}: {problems}")
        rows = {p["position"][0] for p in placements}
        self._say(rows == {str(r["row"]) for r in arrangement["rows"]}, f"{rank}: rows are missing")
        unmeasured = any(f["outcome"] == "unmeasured" for f in arrangement["findings"]) or any(
            f["outcome"] == "unmeasured" for p in placements for f in p["findings"])
        unmeasured = unmeasured or any(r["unmeasured"] for r in arrangement["rows"])
        unmeasured = unmeasured or bool(arrangement["ahead"] and arrangement["ahead"]["unknown"])
        self._say((arrangement["verdict"] == "unmeasured") == unmeasured, f"{rank}: verdict {arrangement['verdict']}")
        guessed = bool(arrangement["estimates"])
        self._say(unmeasured or (arrangement["verdict"] == "likely") == guessed,
                  f"{rank}: {arrangement['verdict']} with estimates {arrangement['estimates']}")

    def _used_once(self, rank: int, placements: Sequence[Json]) -> None:
        def once(what: str, things: list[Any]) -> None:
            self._say(len(things) == len(set(things)), f"{rank}: a {what} is used twice")

        everyone = [self._placement(p) for p in placements]
        self._say(places_do(everyone, self.trip), f"{rank}: a position is used twice, or not empty")
        once("restraint", [p["restraint"] for p in placements if p["restraint"]])
        order = [p.position for p in self.trip.vehicle.positions()]
        held = [p["restraint"] for p in sorted(placements, key=lambda p: order.index(p["position"])) if p["restraint"]]
        self._say(in_order(self.kinds, held), f"{rank}: copies are given out as {held}")
        once("bar", [(p["position"][0], bar) for p in placements for bar in p["lower_anchors"]])
        strapped = [p for p in placements if p["tether"]]
        self._say(not any(self._straps_clash(a, b) for a, b in combinations(strapped, 2)),
                  f"{rank}: a tether anchor is used twice")

    def _placement(self, told: Json) -> Placement:
        """One of those that the JSON may mean: in which positions it needs they do not differ."""
        position = self.trip.vehicle.position(told["position"])
        row, held = self.trip.vehicle.row_of(told["position"]), self._installations(told)[0]
        second = second_place(row, position, held[2])
        self._say(told.get("takes", []) == ([] if second is None else [second.position]),
                  f"{told['rider']} takes {told.get('takes')} beside {position.position}")
        return Placement(self.riders[told["rider"]], position, row, *held, second=second)

    def _records_of(self, rank: int, placement: Json) -> None:
        """Bars and tether belong to the position, and the way of installing to the mode."""
        position = self.trip.vehicle.position(placement["position"])
        own = position.borrow if placement["borrowed"] else position.lower_anchors
        if placement["lower_anchors"]:
            self._say(tuple(placement["lower_anchors"]) == own,
                      f"{rank}: {placement['lower_anchors']} are not at {position.position}")
        if placement["by"].startswith("lower-anchors"):
            self._say(len(placement["lower_anchors"]) == 2 or position.lower_anchors is None,
                      f"{rank}: hangs on no bars")
        self._say(placement["tether"] in (None, position.tether), f"{rank}: a tether anchor of another position")
        self._say(bool(self._installations(placement)), f"{rank}: no such way of installing")

    def _installations(self, placement: Json) -> list[tuple[Restraint | None, Mode | None, Installation | None]]:
        """All that the JSON may mean: it does not tell every installation apart."""
        if placement["restraint"] is None:
            return [(None, None, None)]
        restraint = self.trip.restraint(placement["restraint"])
        mode = restraint.mode(placement["mode"])
        return [(restraint, mode, i) for i in mode.installations
                if (i.by, i.base, bool(i.support_leg)) == (
                    placement["by"], placement["base"], placement["support_leg"])]

    def _limits(self, rank: int, placement: Json) -> None:
        rider = self.riders[placement["rider"]]
        self._say(not rider.adult or placement["restraint"] is None, f"{rank}: an adult in a restraint")
        fitting = False
        for _, mode, installation in self._installations(placement):
            limits = [holder.limits for holder in (mode, installation) if holder is not None and holder.limits]
            fitting = fitting or all(
                known is None or getattr(limit, name) is None
                or getattr(limit, name)[0] <= known <= getattr(limit, name)[1]
                for limit in limits for name, known in (("mass", rider.mass), ("height", rider.height)))
        self._say(fitting, f"{rank}: {rider.rider} is outside the limits of {placement['restraint']}")

    def _bodies(self, row: Row, placements: Sequence[Json], at_most: bool = False) -> list[list[Body]]:
        options = []
        riders = self.riders | self.largest if at_most else self.riders
        order = [position.position for position in row.positions]
        for p in placements:
            options.append([
                body_of(row, self.trip.vehicle.position(p["position"]), riders[p["rider"]], restraint, mode,
                        installation, p["lower_anchors"], self.people(riders[p["rider"]]), self.play,
                        None if p["recline"] is None else (
                            p["recline"]["setting_degrees"], p["recline"]["packing_degrees"]))
                for restraint, mode, installation in self._installations(p)])
        driver = unlisted_driver(self.trip, row, self.people, self.play)
        if driver is not None:
            options.append([driver])
        return [sorted(bodies, key=lambda body: order.index(body.position.position)) for bodies in product(*options)]

    def _lengthwise(self, arrangement: Json) -> None:
        """Each seat stands within its travel and its occupant's limit, and everybody behind has the room."""
        rank, shown, vehicle = arrangement["rank"], arrangement["ahead"], self.trip.vehicle
        if shown is None:
            return
        stands = {one["mover"]: one["forward_mm"] for one in shown["stands"]}
        off = max(shown["tolerance_mm"], 0) if arrangement["verdict"] != "fits" and (shown["spare_mm"] or 0) < 0 else 0
        slides = {f"row {row.row}": row.slides for row in vehicle.rows if row.slides}
        part = {seat: part.positions[0] if len(part.positions) == 1 else " with ".join(part.positions)
                for row in vehicle.rows for part in row.parts if part.slides for seat in part.positions}
        slides |= {part[own.positions[0]]: own.slides for row in vehicle.rows for own in row.parts if own.slides}
        travels: dict[str, int] = {}
        beyond: dict[str, int] = {}
        for position in vehicle.positions():
            ahead = position.ahead
            if ahead is None or ahead.seat is None or ahead.travel is None:
                continue
            more = 0 if ahead.seat == self.trip.drives else ahead.beyond_use or 0
            if ahead.travel or more:
                travels[ahead.seat] = min(ahead.travel, travels.get(ahead.seat, ahead.travel))
            if more:
                beyond[ahead.seat] = min(more, beyond.get(ahead.seat, more))
        taken = {p["position"] for p in arrangement["seats"]} | {self.trip.drives}
        for mover, forward in stands.items():
            most = use = slides.get(mover, travels.get(mover, 0))
            if mover not in taken and mover not in slides:
                most += beyond.get(mover, 0)
            self._say((mover, True) in [(one["mover"], one.get("beyond_use", False)) for one in shown["stands"]]
                      or forward <= use + off, f"{rank}: {mover} stands beyond use, and nothing says so")
            for seat in taken:
                if mover in (seat, f"row {seat[0]}", part.get(seat)) and seat in self.trip.front:
                    given = self.trip.front[seat].forward_at_most
                    most = most if given is None else min(most, given)
            self._say(0 < forward <= most + off, f"{rank}: {mover} stands {forward} forward of {most} at most")
            stopped = [p["rider"] for p in arrangement["seats"]
                       if mover in (p["position"], f"row {p['position'][0]}", part.get(p["position"])) and any(
                           f["rule"] == "child-before-airbag" and f["outcome"] == "caution" for f in p["findings"])]
            self._say(not stopped, f"{rank}: {mover} stands {forward} forward with {stopped} before an airbag")

        def at(position: str) -> float:
            return stands.get(part.get(position, position), stands.get(f"row {position[0]}", 0))

        steps = shown["tight"]
        for step, following in zip(steps, [*steps[1:], *steps[:1]], strict=True):
            self._say(step["end"] == following["start"], f"{rank}: the steps along the car do not close")
            self._say(abs(sum(a["length_mm"] for a in step["sum"]) - step["need_mm"]) < 1e-9,
                      f"{rank}: {step} does not add up")
        if stands or not off:
            for p in arrangement["seats"]:
                position = vehicle.position(p["position"])
                need = self.room_ahead(p) if self.room_ahead else None
                if need is not None and position.ahead is not None and position.ahead.seat is not None:
                    there = at(position.ahead.seat) - at(position.position)
                    self._say(there >= need - off, f"{rank}: {p['rider']} needs {need} ahead, there: {there}")

    def _row_problem(self, row: Row, placements: Sequence[Json], shown: Json, bodies: Sequence[Body],
                     verdict: str, largest: Sequence[Body]) -> str | None:
        needs = needs_of(row, bodies, self.play, self.trip.vehicle.measured.tolerance)
        _, spare, _ = room(needs)
        sums = sums_of(needs, self.worst_case)
        if any(one.short for one in sums):
            return "they do not fit"
        if verdict == "fits" and any(one.close for one in sums):
            return "told to fit, and only close"
        if verdict in ("fits", "close") and any(one.likely for one in sums):
            return "told to be close, and only likely"
        if verdict != "unmeasured" and any(one.open for one in sums):
            return "told to be settled, and it hangs on a body that is only estimated"
        told = shown["spare_mm"]
        if (told is None) != (spare is None) or (spare is not None and abs(float(spare) - told) > 1e-6):
            return f"spare is {spare}, told {told}"
        lacking = lacks_numbers(row, bodies) or any(one.open for one in sums)
        if lacking and any(p["rider"] in self.largest for p in placements):
            most = sums_of(needs_of(row, largest, self.play, self.trip.vehicle.measured.tolerance), self.worst_case)
            lacking = lacks_numbers(row, largest) or any(one.short or one.open for one in most)
        if shown["unmeasured"] != lacking:
            return "told wrongly whether a number is missing"
        at = {LEFT_DOOR: 0.0, **{p["rider"]: p["across_mm"] for p in placements}}
        share = 0.0 if told is None else floor(told * 2) / 2
        for need in needs:
            if need.start not in at or need.end not in at:
                continue                                     # the driver's own place is not shown
            if at[need.start] is None or at[need.end] is None:
                return "a place is missing" if need.start != need.end else None
            least = need.need / 2 + (share if need.stretch else 0)
            if at[need.end] - at[need.start] < least - 1e-9:
                return f"{need} is not kept: {at[need.start]} to {at[need.end]}"
        if shown["tight"]:
            wrong = self._cycle_problem(shown["tight"], needs)
            stretched = sum(self._stretches(step, needs) for step in shown["tight"])
            total = -sum(step["need_mm"] for step in shown["tight"])
            if wrong or not stretched or abs(total / stretched - told) > 1e-6:
                return wrong or "the tight steps do not give the spare"
            offs = [off_by(pick, self.worst_case)[0]
                    for pick in product(*(self._matching(step, needs) for step in shown["tight"]))]
            if not any(abs(off - shown["tolerance_mm"]) < 0.051 for off in offs):
                return f"the tight steps may be off by {offs}, told {shown['tolerance_mm']}"
        elif told is not None:
            return "a spare without the steps that limit it"
        return None

    @staticmethod
    def _matching(step: Json, needs: Iterable[Need]) -> list[Need]:
        numbers = sorted(addend["length_mm"] for addend in step["sum"])
        return [need for need in needs if (need.start, need.end, need.need) == (
            step["start"], step["end"], round(2 * step["need_mm"])) and sorted(need.addends) == numbers]

    def _stretches(self, step: Json, needs: Iterable[Need]) -> bool:
        """Whether the step is a separation; a play and a separation of the same numbers would both do."""
        return any(need.stretch for need in self._matching(step, needs))

    def _cycle_problem(self, steps: Sequence[Json], needs: Sequence[Need]) -> str | None:
        """The steps close, each adds up, and each is one of the row's inequalities with its numbers."""
        for step, following in zip(steps, [*steps[1:], steps[0]], strict=True):
            if step["end"] != following["start"]:
                return "the steps do not close"
            if abs(sum(addend["length_mm"] for addend in step["sum"]) - step["need_mm"]) > 1e-9:
                return f"{step} does not add up"
            if not self._matching(step, needs):
                return f"{step} is in no record"
        starts = [step["start"] for step in steps]
        return None if len(starts) == len(set(starts)) else "a point is passed twice"

    # ---- certificates

    def _squeeze(self, shown: Json) -> None:
        addends = [addend["length_mm"] for step in shown["steps"] for addend in step["sum"]]
        need, have = sum(mm for mm in addends if mm > 0), -sum(mm for mm in addends if mm < 0)
        self._say(abs(need - shown["need_mm"]) < 1e-9 and abs(have - shown["have_mm"]) < 1e-9,
                  "a squeeze's sum is wrong")
        short = shown["short_mm"]
        self._say(short > 0 and abs(need - have - short) < 1e-9, "a squeeze is not short")
        problems: list[str | None] = []
        if shown["row"] is None:
            ends = [(step["start"], step["end"]) for step in shown["steps"]]
            closed = bool(ends) and all(a[1] == b[0] for a, b in zip(ends, [*ends[1:], *ends[:1]], strict=True))
            problems.append(None if closed else "the steps do not close")
        row = next((r for r in self.trip.vehicle.rows if r.row == shown["row"]), None)
        for bodies in [] if row is None else self._bodies(row, shown["placements"]):
            assert row is not None
            needs = needs_of(row, bodies, self.play, self.trip.vehicle.measured.tolerance)
            problems.append(self._cycle_problem(shown["steps"], needs))
        self._say(None in problems, f"squeeze in row {shown['row']}: {problems}")
        self._say(sorted(p["rider"] for p in shown["everyone"]) == sorted(self.riders), "a squeeze leaves riders out")
        self._used_once(0, shown["everyone"])
        self._say(all(p in shown["everyone"] for p in shown["placements"]), "a squeeze of others")

    def _contest(self, shown: Json) -> None:
        placements = shown["placements"]
        if shown["what"] == "position":
            return self._say(self._one_place(placements), "a contest for a position without example")
        if shown["what"] == "restraint":
            kinds = {self.kinds.get(p["restraint"]) for p in placements}
            self._say(len(kinds) == 1 and None not in kinds, f"no contest for a restraint: {kinds}")
            scarce = [copies_of(self.kinds, p["restraint"]) for p in placements[:1]] == [len(placements) - 1]
            apart = all(len({p[of] for p in placements}) == len(placements) for of in ("rider", "position"))
            return self._say(scarce and apart, "a contest for a restraint of which there are enough, or not for that")
        if not placements:
            return
        one, other = placements
        self._say(one["rider"] != other["rider"], "a rider contests with itself")
        rules = [finding["rule"] for finding in shown["findings"]]
        self._say(bool(rules), "a contest without a finding")
        reasons: dict[str, Callable[[Json, Json], bool]] = {
            "bar-wanted-twice": lambda a, b: bool(
                set(a["lower_anchors"]) & set(b["lower_anchors"])) and self._same_row(a, b),
            "tether-wanted-twice": self._straps_clash,
            "belts-cross": self._belts_cross,
            "buckles-too-near": self._buckles_too_near,
            "wish-to-be-apart-not-met": self._wanted_apart,
        }
        for rule in rules:
            self._say(rule in reasons and reasons[rule](one, other), f"{rule} does not hold")

    def _one_place(self, placements: Sequence[Json]) -> bool:
        seats = [p["position"] for p in placements]
        known = set(seats) <= {position.position for position in self.trip.vehicle.positions()}
        return known and 0 < len(seats) < 3 and not places_do([self._placement(p) for p in placements], self.trip)

    def _straps_clash(self, one: Json, other: Json) -> bool:
        row = self.trip.vehicle.row_of(one["position"])
        return self._same_row(one, other) and clash(row, one["tether"], other["tether"])

    def _same_row(self, one: Json, other: Json) -> bool:
        return bool(one["position"][0] == other["position"][0])

    def _neighbours(self, one: Json, other: Json) -> bool:
        row = [p.position for p in self.trip.vehicle.row_of(one["position"]).positions]
        return other["position"] in row and any(
            abs(row.index(a) - row.index(b)) == 1 for a, b in product(self._held(one), self._held(other)))

    @staticmethod
    def _held(placement: Json) -> list[str]:
        """The places whose belts may hold a restraint, left to right."""
        return [placement["position"], *placement.get("takes", [])]

    def _belts_cross(self, one: Json, other: Json) -> bool:
        spans = []
        for place in (self._held(one)[-1], self._held(other)[0]):
            belt = self.trip.vehicle.position(place).belt
            if belt is None or belt.anchors is None:
                return False
            buckle = [belt.buckle.across] if belt.buckle and belt.buckle.across is not None else []
            spans.append((min(*belt.anchors, *buckle), max(*belt.anchors, *buckle)))
        return self._neighbours(one, other) and spans[0][1] - spans[1][0] > self.belts_overlap

    def _buckles_too_near(self, one: Json, other: Json) -> bool:
        belts = [self.trip.vehicle.position(place).belt for place in (self._held(one)[-1], self._held(other)[0])]
        places = [b.buckle.across for b in belts if b is not None and b.buckle is not None
                  and b.buckle.across is not None]
        return len(places) == 2 and self._same_row(one, other) and abs(places[0] - places[1]) < TONGUE_MM

    def _wanted_apart(self, one: Json, other: Json) -> bool:
        both = {one["rider"], other["rider"]}
        return self._neighbours(one, other) and any(
            wish.must and wish.apart and both <= set(wish.apart) for wish in self.trip.wishes)

    def _shortage(self, shown: Json) -> None:
        thing = shown["thing"]
        reached: set[str] = set()
        pairs: set[frozenset[str]] = set()
        for rider in shown["riders"]:
            open_cells = [cell for cell in self.plan["placements"] if cell["rider"] == rider and not cell["ruled_out"]]
            for cell in open_cells:
                used = self._used(cell, thing)
                self._say(bool(used), f"{rider} needs no {thing}")
                reached |= {name for name, kind in self.kinds.items() if kind in used} if thing == "restraint" else used
                pairs.add(frozenset(used))
        self._say(reached == set(shown["have"]), f"they reach {sorted(reached)}, told {shown['have']}")
        n = len(shown["riders"])
        if thing == "lower-anchors":
            self._say(not any(len(set().union(*some)) == 2 * n for some in combinations(sorted(pairs, key=sorted), n)),
                      "no shortage: there are enough pairs of bars")
        else:
            self._say(len(reached) < n, "no shortage: there are enough")
        told = {(taken["rider"], taken["thing"]): taken["rules"] for taken in shown["taken_away"]}
        kind = "restraint" if thing == "restraint" else "position"
        everything = [restraint.restraint for restraint in self.trip.restraints] if kind == "restraint" else [
            position.position for position in self.trip.vehicle.positions()]
        for rider, name in product(shown["riders"], everything):
            of_kind = self.kinds[name] if kind == "restraint" else name
            cells = [cell for cell in self.plan["placements"] if cell["rider"] == rider and cell[kind] == of_kind]
            if not all(cell["ruled_out"] for cell in cells):
                continue
            for cell in cells:
                blocks = {f["rule"] for f in cell["findings"] if f["outcome"] == "block"} or {"not-measured"}
                self._say(bool(blocks & set(told[rider, name])), f"{rider}, {name}: {blocks} is not told")

    @staticmethod
    def _used(cell: Json, thing: str) -> set[str]:
        """What a placement uses of a scarce thing, as the certificate names it."""
        row = cell["position"][0]
        if thing == "tether-anchor":
            return set() if cell["tether"] is None else {f"{cell['tether']} of row {row}"}
        if thing == "lower-anchors":
            return {f"{bar} of row {row}" for bar in cell["lower_anchors"]}
        return set() if cell[thing] is None else {cell[thing]}
