"""Likely sizes, with two ends, of what nobody measured: bodies by age or stature, restraints by kind, a car's lengths.

What is printed on a label, in instructions or in a handbook is never estimated.
"""

from .trips import estimated

__all__ = ["estimated"]
