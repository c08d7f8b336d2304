"""Who rides with what: riders, the restraints at hand, wishes, what is installed, and what was tried."""

# types of fields are no texts here: pydantic would compile each of them again
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field, model_validator

from seatplan import units
from seatplan.content import content, number_of, written_fields

from .doubt import Doubt
from .quantities import (
    Angle,
    BodyMass,
    Day,
    Duration,
    DurationRange,
    Length,
    Moved,
    Name,
    PositionName,
    RestraintName,
    RiderName,
    Size,
    Stature,
    Text,
    YesNo,
)
from .record import Record
from .restraint import By, Condition, ModeName, Restraint
from .vehicle import Vehicle


class BeltFit(Record):
    """A belt-fit test that somebody did with this rider and the seat belt."""

    passed: YesNo
    on: Day | None = None
    position: PositionName | None = None      # None: not said; a passed one counts nowhere then


class Measured(Record):
    """What was measured of a rider on one day: at least one of them."""

    on: Day
    mass: BodyMass | None = None
    height: Stature | None = None
    sitting_height: Size | None = None
    shoulder_height: Size | None = None
    ear_height: Size | None = None
    hips: Size | None = None
    shoulders: Size | None = None
    buttock_knee: Size | None = None


#: what of a rider a tape measures
LENGTHS = tuple(name for name in Measured.model_fields if name not in ("on", "mass", "sure"))


class Rider(Record):
    rider: RiderName
    sex: Literal["girl", "boy"] | None = None     # growth tables have one curve for each; None: both are looked at
    born: Day | None = None
    due: Day | None = None                    # not born yet: rides from that day on
    age: Duration | None = None
    ages: DurationRange | None = None         # a band, as a booking has it; may be written under `age` too
    adult: YesNo = False
    drives: YesNo = False
    mass: BodyMass | None = None
    height: Stature | None = None
    sitting_height: Size | None = None
    shoulder_height: Size | None = None       # seated, above the seat surface
    ear_height: Size | None = None            # seated, top of the ears
    hips: Size | None = None                  # breadth
    shoulders: Size | None = None             # breadth
    buttock_knee: Size | None = None          # seated, back of the buttocks to the front of the knee
    climbs: YesNo | None = None               # can climb over a folded seat to the row behind
    sits_upright: YesNo | None = None         # keeps the booster's belt position for a whole ride
    lies: YesNo | None = None                 # by medical advice must lie flat; None: not known to have to
    preterm: YesNo | None = None              # born before 37 weeks
    seat_screening: Literal["passed", "failed", "none"] | None = None     # of breathing, in such a restraint
    pregnant: YesNo | None = None
    opens_buckle: YesNo | None = None         # opens its buckle, or that of a neighbour, while the car drives
    belt_fit: BeltFit | None = None
    measured: Annotated[list[Measured], Field(max_length=200)] = []      # past ones; the latest counts

    @model_validator(mode="before")
    @classmethod
    def _band_of_ages(cls, data: Any) -> Any:
        """Two ages are a band."""
        if isinstance(data, dict) and "ages" not in data and isinstance(
                units.duration_range(data.get("age")), (list, tuple)):
            return {("ages" if key == "age" else key): value for key, value in data.items()}
        return data

    # as ``_content`` of each record
    __slots__ = ("_in_parts",)

    @property
    def in_parts(self) -> tuple[int, int, int]:
        """The numbers of what it holds beside its sizes, of its mass, and of its lengths: who looks at one of these is
        not asked again when another one is read anew. Together they are as good as ``content``."""
        try:
            kept: tuple[int, int, int] = object.__getattribute__(self, "_in_parts")
        except AttributeError:
            kept = self._reckon_parts()
            object.__setattr__(self, "_in_parts", kept)
        return kept

    def _reckon_parts(self) -> tuple[int, int, int]:
        held = dict(self.__dict__)
        mass, lengths = held.pop("mass"), tuple([held.pop(name) for name in LENGTHS])
        return number_of(written_fields(type(self).__name__, held)), content(mass), content(lengths)


class Reckoned(Rider):
    """A rider as growth tables reckon it for a later day: the likely sizes. Made by seatplan.growth, never read.

    ``smaller`` and ``larger`` are the same rider at the 1st and 99th percentile of plausible growth; ``bands`` are
    the same ends for each length of the body, mm.
    """

    since: Day                                # the day of the oldest size that it was reckoned from
    smaller: Rider
    larger: Rider
    bands: dict[str, tuple[int, int]] = {}

    def _reckon_parts(self) -> tuple[int, int, int]:
        """What was reckoned is looked at as a whole: its ends hang on all that it was reckoned from."""
        return self.content, 0, 0


class FrontLimit(Record):
    forward_at_most: Length | None = None     # from rearmost
    stature: Stature | None = None


class Wish(Record):
    """One wish; with ``must`` it is a rule. Exactly one of the kinds is given."""

    rider: RiderName | None = None
    at: list[PositionName] | None = None
    not_at: list[PositionName] | None = None
    uses: list[RestraintName] | None = None
    apart: list[RiderName] | None = None           # never next to each other
    together: list[RiderName] | None = None        # next to each other in one row
    must: YesNo = False


class Readings(Record):
    """What was read at the car; ``seatplan.readings`` says how each is taken."""

    sideways: Moved | None = None             # at the belt path, mm
    forwards: Moved | None = None
    angle: Angle | None = None                # from upright
    moved: Moved | None = None                # the larger of both, where only that was read
    level: YesNo | None = None                # what the indicator says for this child
    zone: Text = ""                           # of an indicator that shows zones
    gap_ahead: Length | None = None
    seat_ahead: Length | None = None          # forward of rearmost; so are the next two
    row_forward: Length | None = None
    seat_forward: Length | None = None
    straps: Size | None = None                # above the seat surface
    head_below_top: Length | None = None
    belt_fits: YesNo | None = None            # of a booster or the belt alone


class Installed(Record):
    """How a rider's restraint is in the car now, or was last seen there. Restraint and seat are enough."""

    restraint: RestraintName | None = None    # None: the vehicle belt alone
    position: PositionName
    mode: ModeName | None = None
    by: By | None = None
    tether: YesNo | None = None               # hooked and pulled snug
    readings: Readings | None = None
    on: Day | None = None
    who: Text = ""                            # who put it in or checked it, in their words
    note: Text = ""


class UnderWay(Record):
    """How a rider is to ride in the arrangement that is being installed."""

    restraint: RestraintName | None = None
    position: PositionName
    mode: ModeName | None = None
    by: By | None = None                      # None, too: a part of the seat, with nothing to install


class Tried(Record):
    """What somebody tried. ``moved`` is the larger of both directions, ``level`` as in ``Readings``: older entries
    have them alone, and they count beside ``readings``. Of a child on the vehicle belt alone it says whose it is and
    how the belt lies."""

    restraint: RestraintName | None = None    # None: the vehicle belt alone
    position: PositionName
    by: By | None = None              # None: the belt alone, or a part of the seat
    mode: ModeName | None = None      # None: not said
    rider: RiderName | None = None    # for whom
    moved: Moved | None = None        # at the belt path, mm
    level: YesNo | None = None
    readings: Readings | None = None
    tether: YesNo | None = None       # hooked and pulled snug
    failed: YesNo = False
    on: Day | None = None
    who: Text = ""                    # who tried it
    note: Text = ""
    recorded: YesNo = False           # written by `seatplan record`, after all that stands above it


class Copy(Record):
    """The family's own copy of a restraint: the model it is, and what differs. ``as`` is its name."""

    use: Text
    as_: Annotated[RestraintName | None, Field(alias="as")] = None
    made: Day | None = None
    expires: Day | None = None
    condition: Condition | None = None        # key by key over the model's
    in_order: YesNo | None = None             # of this copy: in date, undamaged and so on
    notes: Text | None = None


class Trip(Record):
    """A trip with everything it names already found: vehicle and restraints are records."""

    #: keys that a file may still have, and what they are called now
    RENAMED: ClassVar[dict[str, str]] = {"current": "installed"}

    trip: Name
    notes: Text = ""
    vehicle: Vehicle
    on: Day | None = None            # the day of travel; today where it is None
    drives: PositionName
    riders: Annotated[list[Rider], Field(min_length=1, max_length=20)]
    restraints: Annotated[list[Restraint], Field(max_length=40)] = []
    front: dict[PositionName, FrontLimit] = {}
    airbags_off: list[PositionName] = []      # switched off for this trip
    wishes: list[Wish] = []
    installed: dict[RiderName, Installed] = {}
    arrived: dict[RiderName, Installed] | None = None     # `installed` before anything was tried; None: not noted
    under_way: dict[RiderName, UnderWay] = {}         # the arrangement that is being installed
    tried: list[Tried] = []
    rules: Text = "us"                # the profile

    def __repr__(self) -> str:
        return (f"<Trip {str(self.trip)!r}: {len(self.riders)} riders, {len(self.restraints)} restraints, "
                f"in {self.vehicle.vehicle}>")

    def restraint(self, name: str) -> Restraint:
        """The restraint of that name; KeyError if there is none."""
        for restraint in self.restraints:
            if restraint.restraint == name:
                return restraint
        raise KeyError(name)


class Believed(Trip):
    """A trip whose unlikely values count as unknown. Made by seatplan.doubt, never read."""

    doubted: tuple[Doubt, ...] = ()
