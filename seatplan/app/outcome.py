"""What comes of a request."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Generic, TypeVar

from seatplan.frozen import frozen

from .verdict import Verdict

if TYPE_CHECKING:
    from .notices import Notice

Answer = TypeVar("Answer", covariant=True)


@frozen
class Outcome(Generic[Answer]):
    """``answer`` is what was found, as records; ``verdict`` what it comes down to; ``notices`` what has to be known
    beside it: what was left out, what is reckoned."""

    request: Any
    answer: Answer
    verdict: Verdict
    notices: tuple[Notice, ...] = ()

    @property
    def exit_code(self) -> int:
        return self.verdict.exit_code
