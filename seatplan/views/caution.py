"""The caution that every output carries."""

from __future__ import annotations

from seatplan.said import said

CAUTION = said(
    "This is a planning aid. The vehicle handbook, the restraint's instructions and local law come first; "
    "have the installation checked by a certified technician."
)
#: beside it on what is taken to the car
LAW = said("Local law and certified technicians come first.")
