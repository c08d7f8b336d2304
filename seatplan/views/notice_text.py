"""What has to be known beside an answer, in sentences."""

from __future__ import annotations

from seatplan.app.notices import LeftOut, LooksAhead, Notice, NotThere, RulesOfThen, SizesReckoned, TooLarge
from seatplan.written import visible

from .problem_text import problem_text
from .reckoned_text import not_there, sizes
from .say import t


def notice_text(notice: Notice) -> str:
    """One notice on a line, with what kind it is."""
    match notice:
        case LeftOut(problem):
            return t("warning: {notice}", notice=problem_text(problem))
        case NotThere(rider):
            return t("note: {not_there}", not_there=not_there(rider))
        case SizesReckoned(rider, day):
            return t("note: {sizes}", sizes=sizes(rider, day))
        case LooksAhead(end, vehicle):
            return t("looking at every day up to {end} in {vehicle}", end=end, vehicle=vehicle)
        case RulesOfThen(name, changed):
            file = visible(name)
            return t("warning: the trip names the rules {file}, which say something else now than at the checkup; what "
                     "they said is in the page of the checkup, as `rules_file`", file=file) if changed else t(
                         "warning: the trip names the rules {file}, which cannot be read; what they said is in the "
                         "page of the checkup, as `rules_file`", file=file)
        case TooLarge():
            return too_large_text(notice)


def too_large_text(found: TooLarge) -> str:
    """What to say where days cannot be looked at one by one."""
    return t("undecided: the look ahead stopped at its limit; {riders} riders, {restraints} restraints and {seats} "
             "seats are too many to look at day by day. Leave out restraints that nobody will use, or look with "
             "`seatplan arrange --on DATE`",
             riders=found.riders, restraints=found.restraints, seats=found.seats)
