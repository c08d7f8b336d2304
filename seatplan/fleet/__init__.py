"""Many vehicles, many bookings: which vehicle carries whom, with which restraints aboard.

``records.py`` is what all of it speaks of. ``classes.py`` asks the one-vehicle engine about each distinct party in each
type of vehicle, once: ``ways.py`` finds the kits that reach each level, ``bands.py`` what is known of ages between two.
``matching.py`` answers many: what is known by ``kept.py``, the rest in ``batches.py`` by processes or a ``cluster.py``;
``planning.py`` gives bookings and restraints to vehicles.
"""
