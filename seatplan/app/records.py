"""The records that requests and answers are made of, for those who ask in Python."""

from seatplan.files.errors import InputError
from seatplan.model import Restraint, Trip, Vehicle
from seatplan.solver.results import Plan

__all__ = ["InputError", "Plan", "Restraint", "Trip", "Vehicle"]
