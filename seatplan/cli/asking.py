"""A command whose help has its options in groups, in the same order everywhere."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

import click

from seatplan.views.say import N, t

#: heading -> options that stand below it; those of no group come first, below `Options`
_GROUPS = {
    N("Trip and rules"): ("--vehicle", "--rules", "--on", "--strict", "--worst-case"),
    N("What is printed or written"): ("--output", "--force", "--paper", "--for", "--json", "--full"),
    N("With every command"): ("--help",),
}
_OWN = "Options"
#: options of the whole program, which go behind every command, too
EVERYWHERE = ("--lang", "--units", "--color")


class Asking(click.Command):
    """A command of the program. ``own``: options that stand with its own, for there they say something else."""

    def __init__(self, *args: Any, own: Collection[str] = (), **more: Any) -> None:
        super().__init__(*args, **more)
        self._own = own

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        found: dict[str, list[tuple[str, str]]] = {_OWN: [], **{heading: [] for heading in _GROUPS}}
        for param in self.get_params(ctx):
            record = param.get_help_record(ctx)
            if record is not None and isinstance(param, click.Option):
                found[self._group(param)].append(record)
        *_, last = found
        found[last].insert(0, (", ".join(EVERYWHERE), t("See `seatplan --help`.")))
        for heading, records in found.items():
            if records:
                with formatter.section(t(heading)):
                    formatter.write_dl(records)

    def _group(self, param: click.Parameter) -> str:
        return next((heading for heading, options in _GROUPS.items()
                     if any(one in options and one not in self._own for one in param.opts)), _OWN)
