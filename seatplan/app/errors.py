"""What can go wrong, for the faces: input that cannot be used, and answers that cannot be written."""

from seatplan.files.errors import InputError, Problem, Unwritten

__all__ = ["InputError", "Problem", "Unwritten"]
