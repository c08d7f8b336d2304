"""Which arrangement comes first: trips argued by hand, each with its argument in its file, and what must hold of any.

The arguments were written before the code that they test, half of them by somebody who had not seen it.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from textwrap import dedent
from typing import Any

import pytest
import yaml
from solved import DAY

from seatplan import load_trip
from seatplan.files.reading import YAML_LOADER
from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.solver.plan import plan
from seatplan.solver.results import Arrangement

HERE = Path(__file__).parent / "order"
ARGUED = {path.stem: yaml.load(path.read_text(), Loader=YAML_LOADER) for path in sorted(HERE.glob("*.yaml"))}
_SHORT = {"rear-facing": "rear-facing-harness", "forward-facing": "forward-facing-harness"}


def is_so(arrangement: Arrangement, wanted: Mapping[str, Mapping[str, Any]]) -> bool:
    """Whether an arrangement is as a mapping of riders says, as far as that says anything."""
    for seat in arrangement.seats:
        placement, want = seat.placement, wanted.get(seat.placement.rider.rider, {})
        told = {"seat": placement.position.position,
                "restraint": placement.restraint.restraint if placement.restraint else None,
                "mode": placement.mode_name, "by": placement.by}
        for key, value in want.items():
            allowed = [_SHORT.get(one, one) if key == "mode" else one
                       for one in (value if isinstance(value, list) else [value])]
            if told[key] not in allowed:
                return False
    return True


def trip_in(name: str, folder: Path) -> Trip:
    """The trip of an argued file, read as it stands there by those who read every trip."""
    lines = (HERE / f"{name}.yaml").read_text().splitlines()
    begin = lines.index("trip:") + 1
    end = next((i for i, line in enumerate(lines) if i > begin and line[:1] not in ("", " ", "#")), len(lines))
    path = folder / "trip.yaml"
    path.write_text(dedent("\n".join(lines[begin:end])) + "\n")
    return load_trip(path)


@pytest.mark.parametrize("name", ARGUED)
def test_argued_by_hand(name: str, tmp_path: Path) -> None:
    argued, trip = ARGUED[name], trip_in(name, tmp_path)
    found = plan(trip, load_profile(trip.rules), DAY, top=None)
    assert is_so(found.arrangements[0], argued["first"]), argued["argument"]
    for other in argued.get("not_first", ()):
        assert any(is_so(one, other) for one in found.arrangements[1:]), f"{other} is no arrangement"
