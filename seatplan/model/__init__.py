"""What a person wrote down, as records in mm, kg, degrees and months. Nothing here reads files or decides."""

from .restraint import Approval, Condition, Installation, Limits, Mode, Part, Recline, Restraint
from .trip import Believed, BeltFit, Installed, Measured, Readings, Reckoned, Rider, Tried, Trip, UnderWay, Wish
from .vehicle import Ahead, Bar, Belt, Position, Row, Tether, Trim, Vehicle

__all__ = [
    "Ahead",
    "Approval",
    "Bar",
    "Believed",
    "Belt",
    "BeltFit",
    "Condition",
    "Installation",
    "Installed",
    "Limits",
    "Measured",
    "Mode",
    "Part",
    "Position",
    "Readings",
    "Reckoned",
    "Recline",
    "Restraint",
    "Rider",
    "Row",
    "Tether",
    "Tried",
    "Trim",
    "Trip",
    "UnderWay",
    "Vehicle",
    "Wish",
]
