"""What a document says of itself, for those who write one and for faces, which import no files."""

from seatplan.files.made import PRODUCT, TRIP_ATTRIBUTE, TRIP_PROPERTY, Made, identity, made

__all__ = ["PRODUCT", "TRIP_ATTRIBUTE", "TRIP_PROPERTY", "Made", "identity", "made"]
