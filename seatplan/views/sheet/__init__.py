"""The sheet for the car: one printed page a restraint, in one HTML file that needs nothing beside it."""
