"""Lower anchors, tethers and belt anchors of one row: each named once, and named where they are used. One check each,
in ``ANCHOR_CHECKS``."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from seatplan.message import in_mm, said
from seatplan.model import Position, Row

from .crosscheck_row import off_the_cushion
from .errors import near_word
from .places import Found, Loc

#: the middle of a seat is no further than this from the midpoint of its own bars, mm (from memory); more is a slip
CENTRE_OFF_BARS_MM = 150
#: bars further apart are no pair, mm (from memory)
WIDEST_PAIR_MM = 600


def _bars_named_once(row: Row, off: int) -> Found:
    names = [bar.bar for bar in row.lower_anchors or ()]
    for k, name in enumerate(names):
        if name in names[:k]:
            yield ("lower_anchors", k, "bar"), said('two bars are called "{bar}"; expected each once', bar=name)


def _tethers_named_once(row: Row, off: int) -> Found:
    tethers = [tether.tether for tether in row.tethers or ()]
    for k, name in enumerate(tethers):
        if name == "none":
            yield ("tethers", k, "tether"), said('a tether anchor is called "none"; expected another name')
        if name in tethers[:k]:
            yield ("tethers", k, "tether"), said('two tether anchors are called "{name}"; expected each once',
                                                 name=name)


def _bars_are_there(row: Row, off: int) -> Found:
    bars = [bar.bar for bar in row.lower_anchors or ()]
    for at, position, pair in _pairs(row):
        for j, name in enumerate(pair):
            if name not in bars:
                known = near_word(name, bars) if bars else said("its row lists no `lower_anchors`")
                yield (
                    (*at, j),
                    said('{position} names bar "{name}", which its row does not have; {known}',
                         position=position.position, name=name, known=known),
                )


def _a_pair_is_two_bars(row: Row, off: int) -> Found:
    """Two bars, at two places, the left one first."""
    bars = _places_of_bars(row)
    for at, position, pair in _pairs(row):
        left, right = pair or ("", "")
        if pair and left == right:
            yield at, said('{position} names bar "{pair}" twice; expected two bars',
                           position=position.position, pair=left)
        elif not pair or left not in bars or right not in bars:
            continue
        elif bars[left] == bars[right]:
            yield at, said("{position} names bars {pair} and {pair_2}, both at {across}; expected two "
                           "places", position=position.position, pair=left, pair_2=right,
                           across=in_mm(bars[left]))
        elif bars[left] > bars[right]:
            yield at, said("{position} names bars {pair} and {pair_2} from right to left; "
                           "expected the left one first", position=position.position, pair=left,
                           pair_2=right)


def _tethers_are_there(row: Row, off: int) -> Found:
    tethers = [tether.tether for tether in row.tethers or ()]
    for k, position in enumerate(row.positions):
        for key, anchor in (("tether", position.tether), ("retrofit_tether", position.retrofit_tether)):
            if anchor not in (None, "none") and anchor not in tethers:
                known = near_word(str(anchor), tethers) if tethers else said("its row lists no `tethers`")
                yield (
                    ("positions", k, key),
                    said('{position} names tether "{anchor}", which its row does not have; {known}',
                         position=position.position, anchor=anchor, known=known),
                )


def _loops_are_there(row: Row, off: int) -> Found:
    """The loops that a strap is led to are anchors of its row, and others than its own."""
    names = [tether.tether for tether in row.tethers or ()]
    for k, tether in enumerate(row.tethers or ()):
        for j, loop in enumerate(tether.through):
            at: Loc = ("tethers", k, "through", j)
            if loop == tether.tether:
                yield at, said('tether "{name}" is led through itself; expected another one', name=tether.tether)
            elif loop in tether.through[:j]:
                yield at, said('tether "{name}" is led through "{loop}" twice; expected it once', name=tether.tether,
                               loop=loop)
            elif loop not in names:
                yield at, said('tether "{name}" is led through "{loop}", which its row does not have; {known}',
                               name=tether.tether, loop=loop, known=near_word(loop, names))


def _belt_has_two_ends(row: Row, off: int) -> Found:
    for k, position in enumerate(row.positions):
        belt = position.belt
        if belt and belt.anchors and belt.anchors[0] == belt.anchors[1]:
            yield (
                ("positions", k, "belt", "anchors"),
                said("both belt anchors of {position} are at {anchors}; "
                     "expected [left, right]", position=position.position, anchors=in_mm(belt.anchors[0])),
            )


def _centre_between_its_bars(row: Row, off: int) -> Found:
    """Near the midpoint of its own pair; a centre off the cushion is told already."""
    bars = _places_of_bars(row)
    for k, position in enumerate(row.positions):
        centre, own = position.centre, position.lower_anchors
        if centre is None or not own or off_the_cushion(position, row) or not all(name in bars for name in own):
            continue
        left, right = (bars[name] for name in own)
        middle = (left + right) / 2
        if 0 < right - left <= WIDEST_PAIR_MM and abs(middle - centre) > CENTRE_OFF_BARS_MM:
            yield (
                ("positions", k, "centre"),
                said("the centre of {position} is at {centre} and its bars meet at {middle}; expected "
                     "them within {CENTRE_OFF_BARS_MM} of each other", position=position.position,
                     centre=in_mm(centre), middle=in_mm(middle), CENTRE_OFF_BARS_MM=in_mm(CENTRE_OFF_BARS_MM)),
            )


def _places_of_bars(row: Row) -> dict[str, int]:
    """Where each bar of a row is, across, mm."""
    return {bar.bar: bar.across for bar in row.lower_anchors or () if bar.across is not None}


def _pairs(row: Row) -> Iterator[tuple[Loc, Position, tuple[str, ...]]]:
    """Each pair of bars that a position names, its own or a borrowed one, with its place."""
    for k, position in enumerate(row.positions):
        for key, pair in (("lower_anchors", position.lower_anchors), ("borrow", position.borrow)):
            if pair:
                yield ("positions", k, key), position, pair


#: each is asked about a row and what a length of the file may be off, mm
ANCHOR_CHECKS: tuple[Callable[[Row, int], Found], ...] = (
    _bars_named_once, _tethers_named_once, _bars_are_there, _a_pair_is_two_bars, _tethers_are_there,
    _loops_are_there, _belt_has_two_ends, _centre_between_its_bars,
)
