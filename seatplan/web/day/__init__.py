"""The technician's day: the list of families by number, the screens at the car, checkups, and the end of a view."""
