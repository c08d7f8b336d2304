"""Which percentiles the ends of an estimate are. One table for the whole program."""

from __future__ import annotations

#: the 1st and 99th percentile of a normal distribution: an estimated body lies between them
Z_END = 2.3263
