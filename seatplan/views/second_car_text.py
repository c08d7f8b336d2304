"""A trip in a second car as a file: above it, as comments, what holds for the first car alone."""

from __future__ import annotations

import textwrap

from seatplan.app.new import SecondCar
from seatplan.written import visible

from .say import t, tr
from .text import WIDTH
from .words import car_name


def second_car_text(found: SecondCar) -> str:
    """The text of the file."""
    car = car_name(found.first)
    told = [t("In the other car, {car}: {rider} in {restraint} on {position}.", car=car, rider=rider,
              restraint=here.restraint or t("seat belt"), position=here.position)
            for rider, here in found.installed.items()]
    told += [tr(problem.text) for problem in found.left_out]
    told.append(t("Nothing is installed here yet. How far front seats come forward and which airbags are off was said "
                  "of the other car: look again in this one."))
    lines = [line for one in told for line in textwrap.wrap(visible(one), WIDTH - 2, subsequent_indent="  ")]
    return "".join(f"# {line}\n" for line in lines) + found.text
