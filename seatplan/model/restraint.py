"""A child restraint: its modes, and for each mode child limits, shape and installations."""

# types of fields are no texts here: pydantic would compile each of them again
from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator

from seatplan.units import Number

from .listed import Fixture, OrNone
from .quantities import (
    Angle,
    AngleRange,
    AngleRangeOrNone,
    Day,
    Duration,
    DurationRange,
    Fraction01,
    Length,
    LengthRange,
    MassAtMost,
    MassOnLabel,
    MassRange,
    PartKey,
    Place,
    PlaceRange,
    Point,
    PositionName,
    RestraintMass,
    RestraintName,
    Size,
    StatureRange,
    Text,
    Tolerance,
    YesNo,
    YesNoOrFrom,
)
from .record import Record

ModeName = Literal[
    "rear-facing-harness", "forward-facing-harness", "high-back-booster", "backless-booster",
    "lying-flat-bed", "harness-vest", "impact-shield",
]
#: how a restraint is installed in the car
By = Literal["lower-anchors", "lap-shoulder-belt", "lap-belt", "two-belts", "lower-anchors-with-belt"]


class Limits(Record):
    """Who may ride: each range is [lowest, highest]; None: the instructions name no such limit."""

    mass: MassRange | None = None
    height: StatureRange | None = None
    age: DurationRange | None = None
    head_below_top: Length | None = None      # rear-facing; counts where it is more than the profile's


class Part(Record):
    """A box in side view, as measured on a level bench at the reference recline, with its width across.

    ``outline`` (points along, up) stands in place of the box where a drawing gives the true side view.
    """

    part: PartKey
    along: PlaceRange | None = None
    up: PlaceRange | None = None
    outline: Annotated[list[Point], Field(min_length=3, max_length=40)] | None = None
    width: Size | None = None
    tolerance: Tolerance | None = None        # of these lengths, where it differs from the file's


class ReclineRange(Record):
    """The range that the instructions give for children of an age or a mass."""

    age: DurationRange | None = None
    mass: MassRange | None = None
    allowed: AngleRange


class Recline(Record):
    """Degrees from vertical."""

    reference: Angle
    allowed: Annotated[AngleRangeOrNone, OrNone()] | None = None      # `none`: the instructions name none
    settings: list[Angle] = []
    packing: Literal["none", "rolled-towel", "pool-noodle"] | None = None
    packing_limit: Angle | None = None        # how many degrees it may add
    ranges: list[ReclineRange] = []           # narrower ranges for some children: newborns lie flatter
    indicator: Literal["zones", "line", "bubble", "none"] | None = None       # what says on it whether it is level


class Installation(Record):
    by: By | Literal["built-in"]              # built-in: a part of the vehicle, with nothing to install
    base: Literal["with", "without"] | None = None      # a separate base, where there is one
    connectors: Literal["flexible", "rigid"] | None = None
    support_leg: YesNo | None = None
    limits: Limits | None = None              # where they differ by installation; they narrow the mode's
    mass_limit: MassOnLabel | None = None       # heaviest child on lower anchors, by the restraint's own label
    combined_mass_limit: MassAtMost | None = None     # the same of child and restraint together, where it prints that
    needs_tether: YesNoOrFrom | None = None     # a mass: only a child of that mass or more
    tether_mass_limit: MassAtMost | None = None       # heaviest child with whom the instructions let it be hooked
    belts: Annotated[list[Literal["lap", "lap-shoulder"]], Field(min_length=1)] | None = None      # of two-belts
    belt_path: Length | None = None           # from the bight along the belt to where it enters the restraint
    belt_needed: Length | None = None         # webbing that the routing uses up
    lock_off: YesNo | None = None
    inflatable_belt: Literal["allowed", "forbidden"] | None = None
    pre_crash_belt: Literal["allowed", "forbidden"] | None = None     # one that a motor tightens when a crash is near
    locking_clip: YesNo | None = None         # one is at hand, and the instructions let it lock the belt
    lock_off_with_locked_belt: Literal["allowed", "forbidden"] | None = None
    buckle_twist: Literal["allowed", "forbidden"] | None = None       # a stalk of webbing, up to three turns
    spacing: LengthRange | None = None        # bar spacings allowed beside the standard one
    borrow: Literal["allowed", "forbidden"] | None = None
    play: Length | None = None                # how far the middle may sit from bars or belt centre line
    leg_reach: LengthRange | None = None      # of the support leg, below the cushion surface at the bight
    leg_along: Place | None = None            # where its foot stands, forward of the bight
    parts: list[Part] = []                    # beside the mode's own: the separate base, say
    # the vehicle's head restraint, where the instructions say what becomes of it
    vehicle_head_restraint: Literal["taken-out", "left-in", "either"] | None = None

    def tether_needed(self, child: Number | None) -> bool | None:
        """Whether the tether must be hooked with a child of that mass, kg; None where nobody wrote it down, or where
        it hangs on the mass of a child whom nobody weighed."""
        if self.needs_tether is None or isinstance(self.needs_tether, bool):
            return self.needs_tether
        return None if child is None else child >= self.needs_tether


class Mode(Record):
    mode: ModeName
    limits: Limits = Limits.model_construct()
    shoulder_slots: LengthRange | None = None     # lowest and highest strap exit, or belt guide, above the seat surface
    shell_height: Size | None = None              # top of the shell or head support above the seat surface
    seat_up: Length | None = None                 # seat surface above the vehicle cushion
    # settings of the crotch buckle: forward of the back of its seat, where the strap comes up
    crotch_strap: Annotated[list[Length], Field(max_length=10)] = []
    handle: Literal["none", "upright", "folded", "either"] | None = None      # carry handle while driving
    parts: list[Part] = []
    recline: Recline | None = None
    touch_ahead: Literal["may", "gap", "must"] | None = None
    supported_base: Fraction01 | None = None
    tether_strap: YesNo | None = None
    tether_length: Length | None = None           # of the strap, pulled out
    tether_from: Point | None = None            # where it leaves the shell, at the reference recline
    installations: Annotated[list[Installation], Field(min_length=1)]

    @property
    def rear_facing(self) -> bool:
        return self.mode == "rear-facing-harness"

    @property
    def booster(self) -> bool:
        return self.mode in ("high-back-booster", "backless-booster")

    @property
    def harness(self) -> bool:
        return self.mode in ("rear-facing-harness", "forward-facing-harness")

    def fastens_rider(self, installation: Installation | None) -> bool:
        """Whether the vehicle belt is what the rider is buckled in with on every trip: round the child on a booster,
        over the shield before it."""
        return self.booster or (self.mode == "impact-shield" and installation is not None and "belt" in installation.by)


class Condition(Record):
    crash: Literal["none", "minor", "moderate", "severe", "unknown"] | None = None
    recall: Literal["none", "remedied", "open", "unknown"] | None = None
    labels: Literal["readable", "missing", "unknown"] | None = None
    history: Literal["known", "unknown"] | None = None

    def faults(self) -> tuple[str, ...]:
        """The keys that say that something is not in order, or not known to be."""
        well = {"crash": ("none",), "recall": ("none", "remedied"), "labels": ("readable",), "history": ("known",)}
        return tuple(key for key, words in well.items() if getattr(self, key) not in (None, *words))


class Approval(Record):
    """To what it was approved: words of UN R44 and R129 and of FMVSS 213."""

    standard: Literal["FMVSS 213", "UN R44", "UN R129"]
    category: Literal[
        "i-size", "i-size-booster", "specific-vehicle", "specific-vehicle-booster", "universal-belted",
        "booster-cushion", "universal", "semi-universal", "restricted", "isofix-universal",
        "isofix-semi-universal",
    ] | None = None
    groups: list[Literal["0", "0+", "I", "II", "III"]] = []
    fixtures: list[Fixture] = []              # the envelopes it keeps within
    listed: list[Text] = []                    # vehicles, or `vehicle/position`, in the maker's own list


#: what sort of restraint it is, for one of which nobody measured the outline: see ``model/kinds.py``
Kind = Literal["infant-carrier", "rear-and-forward", "forward-only", "harness-to-booster", "all-stages", "high-back",
               "backless", "lying-flat"]


class LabelLimits(Limits):
    """What the label of a kind prints: of its only way to ride, or of each where there are several."""

    rear_facing: Limits | None = None
    forward_facing: Limits | None = None
    booster: Limits | None = None
    on_lower_anchors: MassOnLabel | None = None       # the heaviest child on lower anchors
    combined_on_lower_anchors: MassAtMost | None = None       # child and restraint together


class Restraint(Record):
    restraint: RestraintName
    invented: YesNo = False
    notes: Text = ""
    kind: Kind | None = None          # what it is, where its modes are not written down
    width: Size | None = None         # of a kind: at its widest
    limits: LabelLimits | None = None         # of a kind: what its label prints
    level_adjusts: YesNo | None = None        # of a kind: its recline has several settings, or a foot that is set
    support_leg: YesNo | None = None          # of a kind: it stands on a leg that reaches the floor
    in_order: YesNo | None = None     # in date, undamaged, no crash, no open recall, labels readable
    mass: RestraintMass | None = None
    made: Day | None = None
    expires_after: Duration | None = None
    expires: Day | None = None
    condition: Condition = Condition.model_construct()
    approval: Approval | None = None
    built_into: PositionName | None = None    # the seat that it is a part of: said by the vehicle's file alone
    tolerance: Tolerance = 5          # of every length in the file, mm
    modes: Annotated[list[Mode], Field(min_length=1, max_length=8)] = []      # may be left out where the kind is said

    @model_validator(mode="before")
    @classmethod
    def _over_its_kind(cls, data: Any) -> Any:
        """Of a kind, modes that are written down stand over those that it has, key by key: what was measured since."""
        if not isinstance(data, dict) or not data.get("kind") or not isinstance(data.get("modes"), (list, tuple)):
            return data
        from .kinds import over_kind

        return over_kind(data, cls)

    @model_validator(mode="after")
    def _modes_of_its_kind(self) -> Self:
        """A kind has its modes, unless they are written down; that others must name some is checked with the file."""
        if not self.modes and self.kind is not None:
            from .kinds import modes_of  # the table of kinds is read where one is asked for

            # a record never changes after reading; this is still reading, and nobody wrote these
            object.__setattr__(self, "modes", modes_of(self))
            self.model_fields_set.discard("modes")
        return self

    @model_validator(mode="after")
    def _all_in_order(self) -> Self:
        object.__setattr__(self, "condition", self.condition_told())
        return self

    def condition_told(self) -> Condition:
        """Its condition: ``in_order`` says of everything that it is well, where nothing else is said of it."""
        well = {"crash": "none", "recall": "none", "labels": "readable", "history": "known"}
        told = {name: value for name, value in well.items() if getattr(self.condition, name) is None}
        return self.condition.model_copy(update=told) if self.in_order and told else self.condition

    def mode(self, name: str) -> Mode:
        """The mode of that name; KeyError if there is none."""
        for mode in self.modes:
            if mode.mode == name:
                return mode
        raise KeyError(name)
