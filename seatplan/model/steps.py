"""The steps of installing a restraint and belting a child, as data: what to do, when it applies, and its source."""

from __future__ import annotations

from .quantities import Key, Text, YesNo
from .record import Record


class MeasuredBox(Record):
    """A place on the sheet for what is read at the car: a key of ``seatplan.readings``. ``asked`` is what it is held
    against."""

    reading: Key
    asked: Text = ""


class InstallStep(Record):
    """One step. It applies where every tag of ``when`` holds and none of ``unless``."""

    step: Key
    text: Text
    source: Text
    when: list[Key] = []
    unless: list[Key] = []
    boxes: list[MeasuredBox] = []


class Stage(Record):
    """Steps that are done together; ``once``: for the whole trip, not for each restraint."""

    stage: Text
    once: YesNo = False
    steps: list[InstallStep]
