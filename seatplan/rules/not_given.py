"""What files leave out that a rule asks for: optional fields that are not there, by whom they belong to."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Literal

from seatplan.frozen import frozen
from seatplan.model import Mode, Restraint, Rider, Trip, Vehicle
from seatplan.model.kinds import LIMITS_OF, has_modes_of_kind
from seatplan.model.record import Record

from .registry import RULES

#: what is not asked for by itself: without it the strictest reading counts, only a caution hangs on it, or it stands in
#: place of others
_NOT_ASKED = ("sure", "tolerance", "notes", "page", "only", "outline", "ranges", "exit", "borrow", "allows", "fitted",
              "retrofit_tether", "beyond_use", "gaps", "built_in", "built_into", "over_built_in", "packing",
              "packing_limit", "head_below_top", "parts", "base", "listed", "fixtures",
              "waterfall", "shoulder_exit", "contact", "seat_up", "supported_base", "groups", "play", "tether_from",
              "belt_fit", "lies", "roof", "consoles", "split", "bolsters", "reclines", "tilts", "combined_mass_limit",
              "lower_anchor_child_mass_limit", "tether_mass_limit", "buckle_twist", "stalk_kind", "pre_crash_belt",
              "tightens_before_crash", "locking_clip", "detachable", "lock_off_with_locked_belt", "marked", "through",
              "shared", "preterm", "seat_screening", "pregnant", "opens_buckle", "crotch_strap", "handle",
              "vehicle_head_restraint", "indicator")
#: of one position, where no position of the vehicle says any of it: no handbook has such a table
_UN_TABLE = ("i_size", "universal_belted", "universal_isofix")
_BELT = ("belt_path", "belt_needed", "lock_off", "inflatable_belt")
_BARS = ("connectors", "spacing", "borrow", "mass_limit")
_LEG = ("leg_reach", "leg_along")

#: whose fields they are
Of = Literal["row", "position", "restraint", "mode", "rider"]


@frozen
class NotGiven:
    """The fields that one thing lacks, as paths in the file: ``belt.length``. ``name``: of a row its number;
    empty for a restraint itself."""

    of: Of
    name: str
    fields: tuple[str, ...]


def not_given(record: Vehicle | Restraint | Rider | Trip) -> tuple[NotGiven, ...]:
    """What a rule would ask for and the record does not say, in the order of the file. Of a trip its riders; what it
    names is asked about by itself."""
    return tuple(found for found in _of(record) if found.fields)


def _of(record: Vehicle | Restraint | Rider | Trip) -> Iterator[NotGiven]:
    if isinstance(record, Trip):
        for rider in record.riders:
            yield from _of(rider)
    elif isinstance(record, Rider):
        if not record.adult:
            yield NotGiven("rider", record.rider, _missing(record, "rider", ("born",) if record.age else ("age",)))
    elif isinstance(record, Restraint):
        yield from _of_restraint(record)
    else:
        positions = record.positions()
        table = () if any(getattr(p, name) is not None for p in positions for name in _UN_TABLE) else _UN_TABLE
        for row in record.rows:
            yield NotGiven("row", str(row.row), tuple(
                name for name in _missing(row, "row", ("positions",)) if name not in ("trim.up", "trim.along")))
            for position in row.positions:
                ahead = record.in_front(position.position)
                still = position.ahead is not None and position.ahead.seat is None
                yield NotGiven("position", position.position, tuple(
                    name for name in _missing(position, "position", (*table, "width", *(("ahead",) if ahead else ())))
                    if name != "ahead.seat" and not (still and name == "ahead.travel")))


def _of_restraint(restraint: Restraint) -> Iterator[NotGiven]:
    if has_modes_of_kind(restraint):
        yield NotGiven("restraint", "", tuple(_of_kind(restraint)))
        return
    ends: tuple[str, ...] = ("made", "expires_after") if restraint.expires else ("expires",)
    yield NotGiven("restraint", "", _missing(restraint, "restraint", (*ends, "modes")))
    for mode in restraint.modes:
        yield NotGiven("mode", mode.mode, tuple(dict.fromkeys(_of_mode(mode))))


def _of_kind(restraint: Restraint) -> Iterator[str]:
    """What one that only says its kind lacks of what is asked of it: what its label prints, and what one sees."""
    for mode in restraint.modes:
        if mode.limits.mass is None and mode.limits.height is None:
            way = LIMITS_OF.get(mode.mode) if len(restraint.modes) > 1 else None
            yield f"limits.{way}" if way else "limits"
    if any(mode.harness for mode in restraint.modes):
        if restraint.limits is None or (restraint.limits.on_lower_anchors is None
                                        and restraint.limits.combined_on_lower_anchors is None):
            yield "limits.on_lower_anchors"
        yield from (name for name in ("support_leg",) if restraint.support_leg is None)
    if any(mode.rear_facing for mode in restraint.modes) and restraint.level_adjusts is None:
        yield "level_adjusts"
    yield from (name for name in ("width",) if restraint.width is None)
    if not restraint.in_order and (restraint.expires is None or None in (
            restraint.condition.crash, restraint.condition.recall, restraint.condition.labels)):
        yield "in_order"


def _of_mode(mode: Mode) -> Iterator[str]:
    """What one mode lacks of what is asked of its kind."""
    leave = ["limits", "installations"]
    if mode.mode == "impact-shield":
        leave += ["recline", "tether_length"]
    elif not mode.harness:
        leave += ["recline", "tether_strap", "tether_length"]
    elif mode.tether_strap is False:
        leave += ["tether_length"]
    if not mode.harness and mode.mode not in ("high-back-booster", "impact-shield"):
        leave += ["shell_height"]
    if not mode.harness and mode.mode != "high-back-booster":
        leave += ["shoulder_slots"]
    if not mode.rear_facing:
        leave += ["touch_ahead"]
    yield from _missing(mode, "mode", tuple(leave))
    if mode.limits.mass is None and mode.limits.height is None:
        yield "limits"
    for way in mode.installations:
        apart = ["limits", *(() if way.support_leg else _LEG)]
        apart += () if "belt" in way.by and not mode.booster else _BELT
        apart += () if way.by == "two-belts" else ("belts",)
        apart += () if way.by.startswith("lower-anchors") and not mode.booster else _BARS
        apart += () if way.combined_mass_limit is None else ("mass_limit",)      # one limit of the label is an answer
        apart += () if mode.harness or mode.mode == "impact-shield" else ("needs_tether", "support_leg")
        yield from (f"{way.by}.{name}" for name in _missing(way, "installation", tuple(apart)))


@cache
def _read() -> frozenset[str]:
    """Every field that a rule reads, by whose it is: ``position.belt.length``."""
    return frozenset(read for rule in RULES for read in rule.reads)


def _asked(name: str) -> bool:
    """Whether a rule reads a field, something in it, or the whole that it is part of."""
    return any(read == name or read.startswith(f"{name}.") or (name.startswith(f"{read}.") and "." in read)
               for read in _read())


def _missing(record: Record, at: str, leave: tuple[str, ...] = ()) -> tuple[str, ...]:
    found: list[str] = []
    for name, info in type(record).model_fields.items():
        value, here = getattr(record, name), f"{at}.{name}"
        if name in leave or name in _NOT_ASKED:
            continue
        if isinstance(value, Record):
            found += [f"{name}.{inner}" for inner in _missing(value, here)]
        elif isinstance(value, list) and value and isinstance(value[0], Record):
            inside = dict.fromkeys(inner for one in value for inner in _missing(one, here))
            found += [f"{name}.{inner}" for inner in inside]
        elif not info.is_required() and _asked(here) and (value is None or (value == [] and name == "trim")):
            found.append(name)
    return tuple(found)
