"""What a server serves: the library folder, who may come in, and what is worked out beside the pages."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures.process import BrokenProcessPool
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from seatplan.app.checking_day import is_begun

from .apart import Apart
from .doors import Doors
from .works import Works

if TYPE_CHECKING:
    from .lock import Secret


@dataclass(slots=True, eq=False)
class House:
    """``library``: the folder whose files are the truth; ``hosts``: the names, with ports, that the server goes by;
    ``secure``: it speaks TLS; ``secret``: what opens the lock page, None where nothing was set yet."""

    library: Path
    hosts: tuple[str, ...]
    doors: Doors = field(default_factory=Doors)
    secure: bool = False
    secret: Secret | None = None
    apart: Apart = field(default_factory=Apart)
    works: Works = field(init=False)

    def __post_init__(self) -> None:
        self.works = Works(Apart())               # so that whoever asks for seconds never waits for minutes

    @property
    def has_days(self) -> bool:
        """Whether a technician's day was begun in this library: families follow each other before the screen, and none
        is to see how another one is called."""
        return is_begun(self.library)

    def beside(self, question: Callable[..., Any], *asked: Any) -> Any:
        """The answer of a question that takes long (an outlook, a second car), worked out in a process of its own, so
        that nobody else waits for it."""
        return self.apart.ask(question, *asked)

    def make_ready(self, question: Callable[..., Any], *asked: Any) -> None:
        """Have a question asked there whose answer nobody waits for, so that the next one is quick."""
        with suppress(BrokenProcessPool):
            self.apart.begin(question, *asked)
