"""Which arrangement comes first: named criteria in a stated order, as whole numbers that add up.

The criteria of a placement, a pair and a row are packed into one integer, most important first, so that adding
two costs adds every criterion and comparing them compares in order. Lower is better. How sure an arrangement is goes
by its least sure part and does not add up: `surely` puts it in for a whole arrangement, between good practice and
wishes, and in front of all where something is not measured.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import NamedTuple

from seatplan.model import Installed, Rider, Trip, UnderWay
from seatplan.rules.finding import Finding
from seatplan.rules.profile import ORDER_LIMITS
from seatplan.rules.registry import rule_by_id
from seatplan.rules.subjects import Placement, RuleContext

from .placements import JudgedPlacement

_AAP = "AAP 2018, Pediatrics 142(5) e20182460"
_PRACTICE = "common practice, no source"


class Criterion(NamedTuple):
    """One thing that is compared: its step in the order, how it is told, why it stands there and who says so."""

    name: str
    bits: int
    step: int
    title: str
    why: str
    source: str


#: so many ages of children are told apart; beyond these the oldest count as of one age
AGES = 12
#: how children can ride, the most protective first; each with the modes that come to it
STAGES = ("rear-facing harness", "forward-facing harness", "forward-facing harness without a tether below five",
          "vest or shield", "booster", "vehicle belt", "bed for a child who need not lie")
_COUNT = 4                                          # bits for how many children of one age are at a stage
_AGE = _COUNT * len(STAGES)
#: children told apart by stature and age where they sit in front
_CHILDREN = 16

#: in order of weight
CRITERIA = (
    Criterion("squeeze", 40, 0, "has room", "what lacks room is no arrangement", "geometry"),
    Criterion("under_way", 8, 0, "as it is being installed", "what is half installed is gone on with until it is done, "
              "given up, or cannot be", _PRACTICE),
    Criterion("open", 8, 1, "nothing has to be measured first",
              "an arrangement can only be installed once it is known to hold", _PRACTICE),
    Criterion("front_young", 8, 2, "fewest children in front who ride rear-facing or in a harness, or are under 5",
              "the front airbag and the crash are harder on the youngest", _AAP),
    Criterion("under_two", 8, 3, "fewest children under 2 who do not ride rear-facing",
              "head and neck are held by the shell; a child who must lie is left out", _AAP),
    Criterion("front_under_nine", 8, 4, "fewest of the other children under 9 in front",
              "the back seat is safer, the more so the smaller the child", _AAP),
    Criterion("doubtful", 16, 5, "fewest restraints that are in doubt themselves",
              "a restraint after a crash or under a recall protects nobody surely",
              "NHTSA, Car seat use after a crash"),
    Criterion("protection", AGES * _AGE, 5,
              "each child, from the youngest up, as protected as can be (rear-facing harness, forward-facing harness, "
              "booster, vehicle belt)",
              "a younger child's stage is never given up for an older one's", _AAP),
    Criterion("front_older", 8, 6, "fewest of the children from 9 up to 13 in front", "all under 13 ride in the back",
              _AAP),
    Criterion("front_who", 8 + 2 * _CHILDREN, 6,
              "who must sit in front is the one whom the belt fits best, then the tallest, then the oldest",
              "a belt that fits protects best where an airbag is ahead", _PRACTICE),
    Criterion("grave", 16, 7, "fewest grave cautions", "any grave one outweighs all slight ones", _PRACTICE),
    Criterion("slight", 16, 7, "fewest other cautions, a backless booster counted as one",
              "each is good practice that is not followed", _PRACTICE),
    Criterion("sure", 8, 8, "fits, or held at the car, before close, before likely",
              "what surely fits need not be tried first", _PRACTICE),
    Criterion("wishes", 16, 9, "wishes kept", "where safety is equal, the family decides", _PRACTICE),
    Criterion("tried", 16, 9, "what held when it was tried at the car", "it was seen to hold", _PRACTICE),
    Criterion("moves", 16, 9, "least to change from today", "every new installation can go wrong", _PRACTICE),
    Criterion("method", 16, 9, "the method that families more often get right",
              "lower anchors were attached rightly in 63 %, the belt in 34 %", "Cicchino, Jermakian 2014"),
    Criterion("centre", 16, 9, "the youngest in the centre", "furthest from either side",
              "Kallan, Durbin, Arbogast 2008, Pediatrics 121:e1342"),
    Criterion("room", 24, 9, "most room to spare, row by row, counted up to 100 mm",
              "more room is easier to install in", _PRACTICE),
)
_SHIFT: dict[str, int] = {}
_at = 0
for _criterion in reversed(CRITERIA):
    _SHIFT[_criterion.name] = _at
    _at += _criterion.bits

#: criteria whose number is no count: they are only more or less
NO_COUNTS = frozenset(("protection", "front_who"))
#: room beyond this does not rank an arrangement higher, mm
ROOM_CAP_MM = 100
#: how sure a part of an arrangement counts as: what was close and held when it was tried counts as fitting
SURE, NEARLY, PERHAPS, OPEN = range(4)

_MODES = {
    "rear-facing-harness": 0, "forward-facing-harness": 1, "harness-vest": 3, "impact-shield": 3,
    "high-back-booster": 4, "backless-booster": 4, "seat-belt": 5, "lying-flat-bed": 6,
}
_HARNESSED = {"rear-facing-harness", "forward-facing-harness", "harness-vest", "impact-shield"}


def stage(mode: str) -> int:
    """How far a mode is from the most protective ones by itself; the less, the better."""
    return 2 * _MODES[mode] + (mode == "backless-booster")


def cost(**criteria: int) -> int:
    """Pack criteria into one number."""
    return sum(value << _SHIFT[name] for name, value in criteria.items())


def unpack(packed: int) -> dict[str, int]:
    """The criteria of a packed cost, most important first."""
    return {c.name: (packed >> _SHIFT[c.name]) & ((1 << c.bits) - 1) for c in CRITERIA}


_SURELY = (0, cost(sure=NEARLY), cost(sure=PERHAPS), cost(open=1, sure=OPEN))
#: all steps of the order, whatever is under way
_STEPS = (1 << _SHIFT["under_way"]) - 1
_SQUEEZE, _WISHES = _SHIFT["squeeze"], _SHIFT["sure"]


def surely(sure: int) -> int:
    """What a whole arrangement costs for being no surer than that."""
    return _SURELY[sure]


def squeeze(packed: int) -> int:
    """How much room is missing in a cost; 0: nothing."""
    return packed >> _SQUEEZE


def safety(packed: int) -> int:
    """A cost without wishes and all that comes after: what steps 1 to 8 say of it."""
    return (packed & _STEPS) >> _WISHES


def placed(packed: int) -> int:
    """Whether anything is open, who small sits in front, who under two does not ride rear-facing: steps 1 to 4."""
    return (packed & _STEPS) >> _SHIFT["front_under_nine"]


def seating(packed: int) -> int:
    """Who sits in front and how each child is protected: what steps 2 to 6 say of a cost."""
    return (packed & ((1 << _SHIFT["open"]) - 1)) >> _SHIFT["front_who"]


def protected(packed: int) -> int:
    """Who sits in front, what is in doubt, and how each child rides: what steps 2 to 5 say of a cost. It adds up."""
    return (packed & ((1 << _SHIFT["open"]) - 1)) >> _SHIFT["protection"]


@lru_cache(maxsize=1024)
def stages_of(protection: int) -> tuple[int, ...]:
    """How each child rides, an index of ``STAGES``, by what a cost says of their protection: from the youngest up; of
    one age worst first, so that no name ranks."""
    found: list[int] = []
    for age in reversed(range(AGES)):
        for how in reversed(range(len(STAGES))):
            found += [how] * (protection >> (age * _AGE + how * _COUNT) & (1 << _COUNT) - 1)
    return tuple(found)


def safe(packed: int) -> int:
    """Steps 2 to 7: the same, with good practice."""
    return (packed & ((1 << _SHIFT["open"]) - 1)) >> _SHIFT["slight"]


def about(criterion: str, one: Mapping[str, int], other: Mapping[str, int]) -> tuple[str, ...]:
    """The riders of whom a criterion says something else in two arrangements, from what the placement of each costs
    there. Of the protection of children only the youngest ages that decide."""
    told = {name: (unpack(one[name])[criterion], unpack(other[name])[criterion]) for name in one if name in other}
    apart = {name: max(a, b) for name, (a, b) in told.items() if a != b}
    if criterion == "protection" and apart:
        age = max(top.bit_length() - 1 for top in apart.values()) // _AGE
        return tuple(name for name, top in apart.items() if (top.bit_length() - 1) // _AGE == age)
    return tuple(apart)


def room_points(spare_mm: float | None) -> int:
    """Points for the room that a row lacks of the cap; None: nothing limits it."""
    return 0 if spare_mm is None else max(0, ROOM_CAP_MM - int(spare_mm))


def decided_by(before: int, after: int) -> str | None:
    """The first criterion that puts one cost before another; None when they are alike."""
    first, second = unpack(before), unpack(after)
    return next((name for name in first if first[name] != second[name]), None)


def is_as_noted(placement: Placement, noted: UnderWay | Installed) -> bool:
    """Whether a placement is what was noted of its rider: seat and restraint, and way and hold where they are said."""
    used = placement.restraint.restraint if placement.restraint else None
    return (placement.position.position == noted.position and used == noted.restraint
            and noted.mode in (None, placement.mode_name) and noted.by in (None, placement.by))


def weighed(findings: Iterable[Finding]) -> int:
    """The cost of what is cautioned against, but for what has a step of its own."""
    rules = [rule_by_id(finding.rule) for finding in findings if finding.outcome == "caution"]
    told = [rule.weight for rule in rules if not rule.own_step]
    graves = told.count("grave")
    return cost(grave=graves, slight=len(told) - graves)


class CellCost:
    """The cost of one placement by itself, under one trip's wishes and present arrangement."""

    def __init__(self, world: RuleContext) -> None:
        self._trip: Trip = world.trip
        self._world = world
        # months: rear-facing below the first, small below the second, then the steps for the front
        self._two, self._five, self._nine, self.front_age = (int(world.limit(name)) for name in ORDER_LIMITS)
        self._months = {r.rider: world.least_age(r) for r in self._trip.riders}
        # a child of unknown age counts as the youngest
        self._ages = {r.rider: self._months[r.rider] or 0 for r in self._trip.riders if not r.adult}
        ages = sorted({-1 if self._months[name] is None else age for name, age in self._ages.items()})
        self._turn = {name: min(ages.index(-1 if self._months[name] is None else age), AGES - 1)
                      for name, age in self._ages.items()}
        children = [rider for rider in self._trip.riders if not rider.adult]
        self._taller = _places({rider.rider: -(rider.height or 0) for rider in children})
        self._older = _places({name: -age for name, age in self._ages.items()})
        # twins are both the youngest, so that a name never ranks
        self._youngest = frozenset(name for name, turn in self._turn.items() if not turn and len(self._turn) > 1)
        self._wishes = [wish for wish in self._trip.wishes if wish.rider and not wish.must]
        self._kept: dict[JudgedPlacement, int] = {}

    def __call__(self, cell: JudgedPlacement) -> int:
        kept = self._kept.get(cell)
        if kept is None:
            kept = self._kept[cell] = self._reckon(cell)
        return kept

    def _reckon(self, cell: JudgedPlacement) -> int:
        placement = cell.placement
        name, position = placement.rider.rider, placement.position.position
        used = placement.restraint.restraint if placement.restraint else None
        now, aim = self._trip.installed.get(name), self._trip.under_way.get(name)
        unkept = sum(
            (wish.at is not None and not {*placement.places} & {*wish.at})
            + (wish.not_at is not None and bool({*placement.places} & {*wish.not_at}))
            + (wish.uses is not None and used not in wish.uses)
            for wish in self._wishes if wish.rider == name
        )
        return (0 if placement.rider.adult else self._child(placement)) + cost(
            under_way=int(aim is not None and not is_as_noted(placement, aim)),
            doubtful=cell.doubtful_restraint, grave=cell.graves,
            slight=cell.slights + (placement.mode_name == "backless-booster"),
            wishes=unkept,
            moves=0 if now is None else (now.position not in placement.places) + (now.restraint != used),
            tried=int(not cell.held),
            # checked installations attached rightly: lower anchors 63 %, belt 34 % (Cicchino, Jermakian 2014)
            method=int(placement.held_by_belt),
            centre=int(name in self._youngest and placement.harness and position[1] != "C"
                       and any(p.position[1] == "C" for p in placement.row.positions)),
        )

    def _child(self, placement: Placement) -> int:
        """Where a child sits and how protected it rides."""
        rider = placement.rider
        age, front = self._ages[rider.rider], self._world.vehicle.in_front(placement.position)
        mode = placement.mode_name
        young = front and (age < self._five or mode in _HARNESSED)
        protection = 1 << ((AGES - 1 - self._turn[rider.rider]) * _AGE + self.stage(placement) * _COUNT)
        return cost(
            front_young=int(young),
            under_two=int(age < self._two and mode != "rear-facing-harness" and not rider.lies),
            front_under_nine=int(front and not young and age < self._nine),
            protection=protection,
            front_older=int(front and not young and self._nine <= age < self.front_age),
            front_who=self._who(rider, placement) if front and age < self.front_age else 0,
        )

    def turn(self, rider: int) -> int:
        """The place of a child of the trip among the ages, the youngest first."""
        return self._turn[self._trip.riders[rider].rider]

    def stage(self, placement: Placement) -> int:
        """How a child rides: an index of ``STAGES``."""
        mode, rider = placement.mode_name, placement.rider
        if rider.lies:                # whoever must lie is best off in a bed, and anything else comes after it
            return 0 if mode == "lying-flat-bed" else min(_MODES[mode] + 1, len(STAGES) - 1)
        held = placement.tether or (placement.installation is not None and bool(placement.installation.support_leg))
        if mode == "forward-facing-harness" and self._ages[rider.rider] < self._five and not held:
            return 2
        return _MODES[mode]

    def _who(self, rider: Rider, placement: Placement) -> int:
        """What speaks against just this child in front: how well the belt fits, then stature, then age."""
        test = rider.belt_fit
        fits = test is not None and test.passed and test.position == placement.position.position
        boosted = placement.mode_name.endswith("booster")
        grade = 0 if fits and placement.mode_name == "seat-belt" else 1 if boosted else 16
        return grade << 2 * _CHILDREN | (1 << self._taller[rider.rider]) << _CHILDREN | 1 << self._older[rider.rider]

    def sure(self, cell: JudgedPlacement) -> int:
        """How sure a placement counts as by itself."""
        if cell.unmeasured:
            return OPEN
        if cell.estimates:
            return PERHAPS
        return NEARLY if cell.close and not cell.held else SURE


def _places(by: dict[str, int]) -> dict[str, int]:
    """How many come before each child, the lowest first, as far as children are told apart; equals share a place."""
    values = sorted(by.values())
    return {name: min(values.index(value), _CHILDREN - 1) for name, value in by.items()}
