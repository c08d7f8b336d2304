"""Records that stay as they are, held against the standard library's own of the same fields."""

from __future__ import annotations

import pickle
from copy import copy, deepcopy
from dataclasses import dataclass, field, fields, replace
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seatplan.frozen import frozen


@frozen
class Made:
    """A record of ours."""

    name: str
    mm: int = 7
    beside: tuple[str, ...] = field(default=(), compare=False)
    facts: dict[str, int] = field(default_factory=dict, hash=False)
    secret: int = field(default=0, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "secret", self.secret + 1)


@dataclass(frozen=True, slots=True)
class Standard:
    """The same by the standard library."""

    name: str
    mm: int = 7
    beside: tuple[str, ...] = field(default=(), compare=False)
    facts: dict[str, int] = field(default_factory=dict, hash=False)
    secret: int = field(default=0, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "secret", self.secret + 1)


@frozen
class One:
    one: int


@frozen
class Nothing:
    """Without a field."""


@frozen(eq=False, kw_only=True)
class Itself:
    own: int
    more: int = 1


@frozen(kw_only=True)
class Further(One):
    two: int

    def __repr__(self) -> str:
        return f"further {self.two}"


@frozen(kw_only=True)
class ByName:
    first: int = 1


@frozen(kw_only=True)
class ByAnother:
    second: int = 2


@frozen(kw_only=True)
class Both(ByName, ByAnother):
    """Of two bases."""


class Subclass(One):
    """Equal to nothing of its base."""


VALUES = st.tuples(st.sampled_from("ab"), st.integers(0, 1), st.sampled_from([(), ("x",)]),
                   st.dictionaries(st.just("k"), st.integers(0, 1)), st.integers(0, 1))


@given(VALUES, VALUES)
def test_equal_hashed_and_told_as_the_standard_ones(one: tuple[Any, ...], other: tuple[Any, ...]) -> None:
    ours, standard = (Made(*one), Made(*other)), (Standard(*one), Standard(*other))
    assert (ours[0] == ours[1]) is (standard[0] == standard[1])
    assert ours[0] != standard[0]
    assert [*map(hash, ours)] == [*map(hash, standard)]
    assert [repr(made).removeprefix("Made") for made in ours] == [repr(made).removeprefix("Standard")
                                                                 for made in standard]


def test_of_one_field_and_of_none() -> None:
    assert One(1) == One(1) != One(2)
    assert hash(One(1)) == hash(One(1))
    assert One(1) != Subclass(1)
    assert Nothing() == Nothing()
    assert len({Nothing(), Nothing()}) == 1
    assert (repr(One(1)), repr(Nothing())) == ("One(one=1)", "Nothing()")


def test_each_is_only_itself() -> None:
    made = Itself(own=1)
    assert made != Itself(own=1)
    assert len({made, made, Itself(own=1)}) == 2
    with pytest.raises(TypeError):
        Itself(1)  # type: ignore[call-arg,misc]


def test_what_a_base_has_and_a_name_of_its_own() -> None:
    assert [one.name for one in fields(Further)] == ["one", "two"]
    assert repr(Further(1, two=2)) == "further 2"
    assert Further(1, two=2) != Further(1, two=3)


def test_several_bases() -> None:
    assert Both(first=3) == Both(first=3, second=2) != Both(first=3, second=3)
    assert repr(Both()) == "Both(second=2, first=1)"


def test_slots_copies_and_another_value() -> None:
    made = Made("a", 1, ("x",), {"k": 1})
    assert not hasattr(made, "__dict__")
    with pytest.raises(AttributeError):
        object.__setattr__(made, "other", 1)
    for same in (copy(made), deepcopy(made), pickle.loads(pickle.dumps(made))):
        assert same == made
        assert same.beside == made.beside
    assert replace(One(1), one=2) == One(2)


if TYPE_CHECKING:
    # the type checker refuses each of these, or it would complain of an unused comment
    One(1).one = 2  # type: ignore[misc]
    Itself(own=1).more = 2  # type: ignore[misc]
    Further(1, two=2).one = 2  # type: ignore[misc]
    Made(1)  # type: ignore[arg-type]
