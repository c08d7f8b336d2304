"""What each field of the files is called where it is missing, and how a person takes it: once, for every floor above.

Rules, the geometry, what to measure next, what is doubted and the form for an unmeasured car all say it from here. A
field is named by what holds it and its path there (``position.belt.inflatable``), as the ``reads`` of rules have it. A
rule that asks for something special of a field (which of two ends, two fields at once) says so in its own words.
"""

from __future__ import annotations

from functools import cache
from string import Formatter
from typing import Any, NamedTuple

from seatplan.frozen import frozen

from .message import Joined, Message, in_mm, said


class FieldLabel(Message):
    """What a field is called, with its ``key`` in the table, so that whoever reads it can tell which field it is, and
    ``how`` to take it where a rule says that in its own words."""

    key: str
    how: str


class Missing(NamedTuple):
    """A field that somebody has to measure or look up: what it is called, how to take it in one sentence, and the unit
    of its value, empty where it has none."""

    field: str
    how: str
    unit: str = ""


@frozen
class Field:
    """One field of the files.

    ``label`` and ``how`` are templates; what stands in braces is filled in for a subject. ``short``: how the form for a
    car that nobody has measured heads its line. ``also``: other fields that are taken in the same go, or that stand in
    for it.
    """

    label: str
    how: str
    unit: str = ""
    short: str = ""
    also: tuple[str, ...] = ()


_HANDBOOK = "read the table of child seats in the vehicle handbook"
_ORANGE_LABEL = "read the orange label on the restraint"
_BOOKS = "let them sit, hold a book upright against each side of"
_BETWEEN = " at the widest, and measure between the books"
_SIT = "sit the child upright on a flat bench against a wall and measure from the bench to "

FIELDS: dict[str, Field] = {
    # whoever rides
    "rider.mass": Field("mass of {rider}", "weigh the child in light clothes on a household scale", "kg", short="mass"),
    "rider.height": Field("height of {rider}",
                          "stand the child against a wall without shoes and measure to the top of the head", "mm",
                          short="height"),
    "rider.born": Field("age of {rider}", "write the day of birth", "months", also=("rider.age",),
                        short="day of birth"),
    "rider.shoulder_height": Field("shoulder height of {rider}", f"{_SIT}the shoulder", "mm",
                                   short="shoulder height, seated"),
    "rider.sitting_height": Field("sitting height of {rider}", f"{_SIT}the top of the head", "mm",
                                  short="sitting height"),
    "rider.ear_height": Field("ear height of {rider}", f"{_SIT}the top of the ears", "mm", short="ear height, seated"),
    "rider.shoulders": Field("{rider}'s shoulders", f"{_BOOKS} the shoulders{_BETWEEN}", "mm",
                             short="shoulder breadth"),
    "rider.hips": Field("{rider}'s hips", f"{_BOOKS} the hips{_BETWEEN}", "mm", short="hip breadth, seated"),
    "rider.buttock_knee": Field("{rider}'s knees", "sit them upright with the back against a wall, and measure from "
                                "the wall to the front of the knee", "mm", short="back to knee, seated"),
    "rider.sits_upright": Field("whether {rider} sits upright", "watch the child sit through a whole ride, then write "
                                "`sits_upright: yes` or `no`", short="sits upright for a whole ride"),
    "rider.belt_fit": Field("at which seat the belt-fit test was passed",
                            "do it at this seat, and write its name under `belt_fit: position`"),
    # a row of the car
    "row.cushion.gaps": Field("whether the cushion of row {row} has a gap", "look whether seats of the row stand "
                              "apart, and write `gaps`: from and to of each gap, or `gaps: none`",
                              short="gaps in a cushion"),
    "row.cushion.left": Field("the edges of the cushion of row {row}",
                              "measure from the left door trim to the left and to the right edge of the cushion", "mm",
                              "cushion from, to", also=("row.cushion.right",)),
    "row.cushion.length": Field("the cushion length of row {row}",
                                "measure along the cushion from the crease to its front edge", "mm", "cushion length"),
    "row.cushion.angle": Field("cushion angle of row {row}", "lay a board on the cushion from front to back and put an "
                               "angle gauge on it", "degrees", "cushion angle"),
    "row.cushion.above_floor": Field("the height of the cushion of row {row} above the floor", "measure straight down "
                                     "from the cushion at the crease to the level of the floor", "mm",
                                     "cushion above the floor"),
    "row.seatback.height": Field("seatback height of row {row}",
                                 "measure from the cushion along it to its top, without head restraint", "mm",
                                 short="seatback height"),
    "row.seatback.angle": Field("the seatback of row {row}", "measure its height along it from the crease, and lay an "
                                "angle gauge on it: degrees from upright", short="seatback angle, height"),
    "row.trim": Field("{side} {trim_name} of row {row}",
                      "measure where it begins there; where the car has none on that side, write `only`", "mm",
                      short="trim beside a row"),
    "row.lower_anchors": Field("the places of the bars at {position}",
                               "measure from the left door trim to the middle of each bar", "mm",
                               "each lower-anchor bar"),
    "row.tethers": Field("the place of tether anchor {tether}", "measure from the left door trim, from the crease "
                         "backwards (behind it is minus) and from the cushion at the crease upwards to the anchor",
                         "mm", "each tether anchor"),
    "row.tethers.marked": Field("whether {tether} is a tether anchor", "look for its symbol, an anchor, or its name in "
                                "the vehicle handbook; a ring for luggage is none",
                                short="tether anchor: symbol, or named in the handbook"),
    "row.slides": Field("whether row {row} slides", "look for a lever that lets it move, and measure how far; where "
                        "no row does, write `every_seat: {slides: no}` once", "mm", "how far the row slides"),
    "row.parts.slides": Field("whether each part of row {row} slides", "look for a lever that lets it move, and "
                              "measure how far; 0 where it does not", "mm", short="whether parts of a row slide"),
    "row.parts.across": Field("the edges of each part of row {row}", "measure from the left door trim to both edges of "
                              "the cushion of each part", "mm", short="edges of the parts of a row"),
    # a seating position
    "position.centre": Field("centre of {position}", "measure from the left door trim to the middle of the seat", "mm",
                             "middle of the seat"),
    "position.width": Field("the width of {position}", "measure across the part of the cushion that belongs to this "
                            "seat", "mm", short="width of a seat"),
    "position.middle": Field("the middle of {position}", "measure from the left door trim to the middle between the "
                             "two bars, or between the two ends of the lap belt", "mm", short="middle of a seat"),
    "position.facing": Field("which way the seat at {position} faces",
                             "look; where all seats face forward, write `every_seat: {facing: forward}` once",
                             short="which way a seat faces"),
    "position.seat": Field("whether the seat at {position} tips up or folds away",
                           "look; where no seat of the vehicle does, write `every_seat: {tip_up: no}` once",
                           short="whether a seat tips up or folds away"),
    "position.lower_anchors": Field("lower anchors of {position}", "feel in the crease of the seat for two bars, and "
                                    "look for their marks on the seatback", short="lower anchors of a seat"),
    "position.tether": Field("tether anchor of {position}", "look behind the seat, on its back, on the shelf, floor or "
                             "roof, for a loop with an anchor mark", short="tether anchor of a seat"),
    "position.belt.kind": Field("the belt of {position}", "look whether it has a lap and a shoulder part",
                                short="belt: lap, or lap and shoulder"),
    "position.belt.retractor": Field("the retractor of the belt of {position}", "draw the belt all the way out: if it "
                                     "clicks on its way back and stays tight, it is switchable or automatic, if not, "
                                     "emergency",
                                     short="belt: does it stay locked"),
    "position.belt.latchplate": Field("the latchplate of the belt of {position}", "buckle it, pull the lap part tight "
                                      "and tug at it: if it stays tight, it is locking, if it runs, sliding",
                                      short="belt: latchplate"),
    "position.belt.inflatable": Field("whether the belt of {position} is inflatable", "feel whether its shoulder part "
                                      "is thick like a tube, and read its label or the handbook",
                                      short="belt: inflatable"),
    "position.belt.anchors": Field("belt anchors at {position}", "measure from the left door trim to where each end of "
                                   "the lap belt comes out", "mm", "belt: where its two lap ends come out"),
    "position.belt.buckle": Field("buckle place at {position}", "measure from the left door trim to the buckle, and "
                                  "from the crease to its top", "mm", "belt: buckle",
                                  also=("position.belt.buckle.across",)),
    "position.belt.buckle.stalk": Field("the buckle stalk at {position}",
                                        "measure from the crease of the seat to the top of the buckle", "mm",
                                        short="buckle stalk of a seat"),
    "position.belt.buckle.stalk_kind": Field("what the buckle of {position} is on", "look: webbing, a stiff stalk, or "
                                             "recessed in the cushion", short="belt: what its buckle is on"),
    "position.belt.tightens_before_crash": Field("whether the belt of {position} tightens before a crash", "look up in "
                                                 "the vehicle handbook whether a motor pulls the belt tight when a "
                                                 "crash is near", short="belt: tightens before a crash"),
    "position.belt.detachable": Field("whether the belt of {position} comes apart", "look whether its end clips into "
                                      "an anchor buckle of its own, or comes from the roof and does",
                                      short="belt: comes apart"),
    "position.belt.length": Field("the length of the belt of {position}",
                                  "draw it out as far as it comes and measure the webbing", "mm", "belt: length"),
    "position.head_restraint": Field("head restraint at {position}", "look whether it can be taken out, and measure "
                                     "how far it stands forward of the seatback in its lowest setting",
                                     short="head restraint"),
    "position.head_restraint.juts": Field("the head restraint at {position}", "measure how far it stands forward of "
                                          "the seatback in its lowest setting", "mm",
                                          short="how far a head restraint juts out"),
    "position.head_restraint.removable": Field("whether the head restraint at {position} comes off", "try it",
                                               short="whether a head restraint comes off"),
    "position.head_restraint.top": Field("top of the head restraint at {position}", "pull it up to its highest setting "
                                         "and measure from the cushion along the seatback to its top; where there is "
                                         "none, to the top of the seatback", "mm", short="top of a head restraint"),
    "position.airbag.front": Field("front airbag at {position}", "look for the word airbag on the dashboard, for a "
                                   "switch that turns it off, for a lamp that shows what a sensor in the seat "
                                   "does, and in the handbook", short="front airbag"),
    "position.support_leg": Field("the floor before {position}", "look for a box under the carpet, and look up support "
                                  "legs in the vehicle handbook", short="floor before it"),
    "position.ahead": Field(
        "free length ahead of {position}",
        said("with the seat ahead rearmost, measure forward from the crease at the cushion, at {low} and at {high} "
             "above it", low=in_mm(300), high=in_mm(600)), "mm", "free length ahead"),
    "position.ahead.gap": Field("free length to the seat ahead", "with the seat ahead rearmost, measure forward from "
                                "the crease at that height", "mm"),
    "position.ahead.travel": Field("how far {position} slides", "push it fully back, then fully forward, and measure "
                                   "how far a mark on it moves", "mm", "travel of the seat ahead"),
    "position.over_built_in": Field("whether a restraint may stand on {position} over the one that is built in",
                                    "look it up in the vehicle handbook and write `over_built_in`: allowed or "
                                    "forbidden", short="whether a restraint may stand over the one that is built in"),
    "position.manual.allows": Field("what the vehicle handbook allows at {position}", "look it up and write `manual: "
                                    "{allows: [...]}`, or [] if it allows nothing special",
                                    short="handbook: what it allows here"),
    "position.manual.forbids": Field("what the vehicle handbook forbids at {position}", "look it up and write "
                                     "`manual: {forbids: [...]}`, or [] if it forbids nothing",
                                     short="handbook: what it forbids here, page"),
    "position.i_size": Field("whether {position} is an i-Size place",
                             f"look for the i-Size mark, or {_HANDBOOK}", short="i-Size places"),
    "position.fixtures": Field("fixtures of {position}", _HANDBOOK, short="fixtures of a seat"),
    "position.universal_belted": Field("whether {position} takes universal belted restraints", _HANDBOOK,
                                       short="universal belted: which seats"),
    "position.universal_isofix": Field("whether {position} takes universal ISOFIX restraints", _HANDBOOK,
                                       short="universal ISOFIX: which seats"),
    "position.exit": Field("the way out of {position}", "write in `exit` whether there is a door, or which seat must "
                           "be folded", short="way out"),
    # a restraint
    "restraint.mass": Field("mass of the restraint", "weigh it, with its base if that is installed too", "kg",
                            short="mass"),
    "restraint.made": Field("day made", "read it on the label and write `made: ...`", short="day made"),
    "restraint.expires": Field("day made and years of use", "read the label under or behind the restraint: day made, "
                               "and how long it may be used", also=("restraint.expires_after", "restraint.in_order"),
                               short="years of use"),
    "restraint.condition.crash": Field("whether it was in a crash",
                                       "ask its owner; without an answer do not use it", short="crash"),
    "restraint.condition.recall": Field("whether a recall is open",
                                        "give model number and day made, from the label, to the maker", short="recall"),
    "restraint.condition.labels": Field("whether the labels can be read", "look under and behind it", short="labels"),
    "restraint.condition.history": Field("its history", "ask its owner from new; without an answer do not use it",
                                         short="history"),
    "restraint.approval.category": Field("category of the approval", _ORANGE_LABEL, short="approval: category"),
    "restraint.approval.fixtures": Field("its fixture in this mode",
                                         "read the size on the restraint's label or in its instructions",
                                         short="approval: fixtures"),
    "restraint.approval.groups": Field("groups of the approval", _ORANGE_LABEL, short="approval: groups"),
    # a mode of a restraint
    "limits": Field("{which} limits", "read it on the restraint's label", also=("limits.mass", "limits.height"),
                    short="limits of mass and height"),
    "mode.parts": Field("the parts of {restraint}", "on a level bench at the reference recline, measure each part: "
                        "along, up and how wide", short="each part: along, up, width"),
    "mode.parts.outline": Field("outline of {part}", "measure from the crease forwards and from the cushion upwards "
                                "where it begins and ends", short="outline of a part"),
    "mode.parts.width": Field("width of {part}", "measure {part} across at its widest, installed or on the floor",
                              "mm", short="width of a part"),
    "mode.parts.base": Field("the base of the restraint", "measure how far forward of the crease the base begins and "
                             "ends, and how wide it is"),
    "mode.seat_up": Field("height of its seat surface", "on a level bench, measure from the cushion up to where the "
                          "child sits, pressed down", "mm", short="seat surface above the cushion"),
    "mode.shell_height": Field("shell height", "measure along its back from where the child sits to the top of the "
                               "shell or head support", "mm", short="shell height"),
    "mode.shoulder_slots": Field("strap slots", "measure from the seat surface up the back of the shell to the lowest "
                                 "and to the highest strap exit", "mm",
                                 short="strap slots or belt guide, lowest and highest"),
    "mode.recline": Field("recline settings and their range", "read them in the instructions, in degrees from "
                          "vertical; where a mode that faces forward has none, write `allowed: none`",
                          short="recline: settings, and what is allowed"),
    "mode.recline.packing": Field("how many degrees may be packed under it", "look it up in the instructions and write "
                                  "`packing` and `packing_limit`, or `packing: none`", "degrees",
                                  short="packing under it"),
    "mode.tether_strap": Field("whether the restraint has a tether strap",
                               "look for a strap with a hook at the top of its back", short="tether strap"),
    "mode.tether_length": Field("the length of the tether strap",
                                "pull it out as far as it goes and measure from the shell to the hook", "mm",
                                short="tether strap: length"),
    "mode.tether_from": Field("where the tether strap leaves the shell", "measure from the crease forwards and from "
                              "the cushion upwards to where it comes out of the shell",
                              short="tether strap: where it leaves the shell"),
    "mode.touch_ahead": Field("whether it may touch the seat ahead", "look it up in the restraint's instructions and "
                              "write `touch_ahead`: may, gap or must", short="touching the seat ahead"),
    # a way of installing it
    "installation.belts": Field("the kinds of belt that may hold it", "read in its instructions which belts may hold "
                                "it across two seats, and write `belts`: a list of lap and lap-shoulder"),
    "installation.belt_path": Field("the belt path of the restraint", "measure from the crease along the belt to where "
                                    "it enters the restraint", "mm", short="belt path"),
    "installation.belt_needed": Field("the webbing that the restraint uses up", "thread the belt, buckle it, tighten "
                                      "it and measure the webbing in use", "mm", short="webbing that it uses up"),
    "installation.lock_off": Field("whether the restraint has a lock-off",
                                   "look in its instructions for a clamp that holds the belt", short="lock-off"),
    "installation.locking_clip": Field("whether a locking clip may lock the belt", "look whether one lies with the "
                                       "restraint, and whether its instructions allow it", short="locking clip"),
    "installation.connectors": Field("the kind of connectors",
                                     "look whether they are on straps (flexible) or on arms (rigid)",
                                     short="connectors"),
    "installation.mass_limit": Field("the mass limit for lower anchors on the label", "read on the label and in the "
                                     "instructions up to which mass of the child lower anchors may be used, and write "
                                     "it, or `mass_limit: none`", "kg", short="mass limit for lower anchors"),
    "installation.combined_mass_limit": Field("the limit for child and restraint together on the label", "read it on "
                                              "the label, where that prints one for lower anchors", "kg",
                                              short="the same of child and restraint together"),
    "installation.needs_tether": Field("whether this way of installing needs the tether", "read it in the restraint's "
                                       "instructions: yes, no, or from which mass of the child on",
                                       short="needs the tether, or from which mass on"),
    "installation.tether_mass_limit": Field("up to which mass of the child the tether may be used", "read it in the "
                                            "restraint's instructions", "kg", short="tether: heaviest child"),
    "installation.support_leg": Field("whether it stands on a support leg", "look under its front edge for a leg down "
                                      "to the floor, and write `support_leg: yes` or `no`", short="support leg"),
    "installation.leg_reach": Field("the reach of the support leg", "measure from the bottom of the base to the bottom "
                                    "of the foot, pushed in and drawn out", "mm", short="support leg: reach"),
    "installation.leg_along": Field("where the foot of the support leg stands",
                                    "measure along the base how far forward of the crease its foot stands", "mm",
                                    short="support leg: where its foot stands"),
    # a trip
    "trip.front": Field("how far forward whoever sits at {position} can sit", "let them slide the seat forward as far "
                        "as they can live with, and measure from rearmost", "mm",
                        short="how far forward a seat ahead can stand"),
    "trip.tried": Field("how far it moved at {position}", "hold it at the belt path, pull it sideways and forwards, "
                        "and measure", "mm", short="how far it moved when tried"),
}


def field(key: str, /, **subject: Any) -> Missing:
    """A field of one subject (``position=``, ``rider=``, ``row=``), as it is called and taken. KeyError for a name that
    is not in the table, and for a subject that its label lacks."""
    known = FIELDS[key]
    return Missing(named(key, _filled(known.label, subject)), _filled(known.how, subject), known.unit)


def named(key: str, label: Message, how: str = "") -> FieldLabel:
    """A field of the table under another name, taken in another way where ``how`` says so. KeyError where there is no
    such field."""
    told = FieldLabel(label)
    if key not in FIELDS:
        raise KeyError(key)
    told.template, told.fields, told.key, told.how = label.template, label.fields, key, how
    return told


def keys_of(label: str) -> tuple[str, ...]:
    """The fields that a label names; none where it is no label of the table."""
    if isinstance(label, FieldLabel):
        return (label.key,)
    return tuple(key for part in label.parts for key in keys_of(part)) if isinstance(label, Joined) else ()


def how_to_take(key: str, label: str = "") -> str:
    """How to take a field, where that names no subject; as its ``label`` has it, where that does."""
    return label.how if isinstance(label, FieldLabel) and label.how else _filled(FIELDS[key].how, {"part": said("it")})


def _filled(template: str, subject: dict[str, Any]) -> Message:
    if isinstance(template, Message):
        return template
    return said(template, **{name: subject[name] for name in _named(template) if name in _SUBJECTS})


#: what stands in the braces of a template; braces of a file, such as ``{slides: no}``, are its words
_SUBJECTS = frozenset({"rider", "restraint", "position", "row", "side", "trim_name", "tether", "part", "which"})


@cache
def _named(template: str) -> tuple[str, ...]:
    return tuple(name for _, name, _, _ in Formatter().parse(template) if name)
