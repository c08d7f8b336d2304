"""Files that faces write: only where they may be, and wholly or not at all."""

from seatplan.files.writer import Place, place_of, start_of, write

__all__ = ["Place", "place_of", "start_of", "write"]
