"""Numbers that are unlikely: they count as unknown until somebody has looked twice."""

from .doubting import believed, believed_anew, doubts_of_restraint, doubts_of_rider, doubts_of_try, doubts_of_vehicle
from .telling import unlikely

__all__ = ["believed", "believed_anew", "doubts_of_restraint", "doubts_of_rider", "doubts_of_try", "doubts_of_vehicle",
           "unlikely"]
