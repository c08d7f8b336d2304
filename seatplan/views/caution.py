"""The caution that every output carries."""

CAUTION = (
    "This is a planning aid. The vehicle handbook, the restraint's instructions and local law come first; "
    "have the installation checked by a certified technician."
)
