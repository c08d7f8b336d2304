"""Mistakes on the command line: what is wrong, and apart from it what to do."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import click

from seatplan.message import FieldName, Name, with_other
from seatplan.views.say import t, tr
from seatplan.written import visible

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem


class Typed(click.types.StringParamType):
    """A word as it was typed, which no language writes in another way."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        return Name(super().convert(value, param, ctx))

    def shell_complete(self, ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
        from .completing import completions

        return completions(ctx, param, incomplete)


TYPED = Typed()


class Misuse(click.UsageError):
    """A wrong word on the command line. ``hint`` says what to do; it is a line of its own. For programs: ``found`` is
    the word, ``allowed`` what may stand there (as of a ``Problem``), ``field`` the option that it belongs to."""

    def __init__(self, message: str, hint: str, found: str | None = None,
                 allowed: Mapping[str, Any] | None = None, field: str | None = None) -> None:
        super().__init__(message)
        self.hint, self.found, self.allowed, self.field = hint, found, allowed, field


class OneOf(click.Choice[str]):
    """One of a few words; where another one is typed, the nearest of them is asked after."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        word = str(value)
        if isinstance(param, click.Option):
            return one_of(word, self.choices, f'{param.opts[0]} is "{word}"', field=param.opts[0])
        return one_of(word, self.choices, t('`{command}` takes no "{word}"', word=Name(word),
                                            command=ctx.command_path if ctx else "seatplan"))


def typed(kind: Any) -> Any:
    """The type of a parameter as the program has it: words as they were typed, and one of a few with the nearest."""
    if type(kind) is click.types.StringParamType:
        return TYPED
    return OneOf(kind.choices) if type(kind) is click.Choice else kind


def how_to_use(ctx: click.Context | None) -> str:
    """The hint where nothing better is known."""
    return t("`{command} --help` shows how to use it", command=ctx.command_path if ctx else "seatplan")


def no_option(error: click.NoSuchOption) -> Misuse:
    """What to say of an option that there is not."""
    from .asking import EVERYWHERE

    ctx, known = error.ctx, list(EVERYWHERE)
    if ctx is not None:
        known += [one for param in ctx.command.get_params(ctx) for one in (*param.opts, *param.secondary_opts)
                  if one.startswith("--") and one not in known]
    near = nearest(error.option_name, known)
    return Misuse(t("`{command}` has no option {option}", option=Name(error.option_name),
                    command=ctx.command_path if ctx else "seatplan"),
                  t("did you mean `{near}`?", near=near) if near else how_to_use(ctx), error.option_name,
                  {"one_of": known})


def nearest(word: str, known: Sequence[str]) -> str:
    """The word that is most like one that was typed; empty where none is."""
    from difflib import get_close_matches

    return next(iter(get_close_matches(word, known, 1)), "")


def as_options(text: str) -> str:
    """What is said of a request, with its fields called as the command line calls them."""
    return tr(with_other(text, _option))


def _option(value: Any) -> Any:
    if not isinstance(value, FieldName):
        return value
    return Name(", ".join(f"--{one.replace('_', '-')}" for one in value.names))


def one_of(word: str, known: Sequence[str], what: str, all_in: str = "", field: str | None = None) -> str:
    """The word as ``known`` spells it, whatever its capitals.

    Raises Misuse: ``what``, which says that there is no such word, and as hint the nearest one, or all of them;
    ``all_in`` names the command that lists them where they are many.
    """
    for name in known:
        if name.casefold() == word.casefold():
            return name
    near = nearest(word, known)
    hint = (
        t("did you mean `{near}`?", near=near)
        if near
        else all_in or t("expected one of {known}", known=", ".join(known))
    )
    raise Misuse(what, hint, word, {"one_of": list(known)}, field)


def mistake_of(error: click.ClickException, hint: str) -> dict[str, Any]:
    """The mistake as an object, for programs."""
    from seatplan.views.failure_json import mistake_json

    text = visible(message_of(error))
    if isinstance(error, Misuse):
        return mistake_json(text, hint, error.field, error.found, error.allowed)
    param = getattr(error, "param", None)
    field = param.opts[0] if param is not None and param.opts else getattr(error, "option_name", None)
    return mistake_json(text, hint, field)


def message_of(error: click.ClickException) -> str:
    """Click's own words on one line, beginning small and without a full stop."""
    text = " ".join(error.format_message().split()).rstrip(".")
    if isinstance(error, Misuse):
        return text                       # ours, and it may begin with a name
    return f"{text[:1].lower()}{text[1:]}"
