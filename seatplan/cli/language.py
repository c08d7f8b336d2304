"""The language, the units and the colour of what is printed: ``--lang``, ``--units`` and ``--color``, or else the
environment."""

from __future__ import annotations

import copy
import gettext
import sys
from collections.abc import Mapping, Sequence

import click

from seatplan.frozen import frozen
from seatplan.views.manner import LANGUAGES, UNITS, language
from seatplan.views.say import look_up, plural, t

from .usage import one_of

#: option -> (environment variable, what is allowed)
_CHOICES: dict[str, tuple[str, Sequence[str]]] = {
    "--lang": ("SEATPLAN_LANG", tuple(LANGUAGES)), "--units": ("SEATPLAN_UNITS", UNITS),
    "--color": ("SEATPLAN_COLOR", ("auto", "always", "never"))}

lang_option = click.option("--lang", type=click.Choice(list(LANGUAGES)), expose_value=False,
                           help="The language of all text; JSON stays as it is. Also behind the command, and as "
                                "SEATPLAN_LANG.")
units_option = click.option("--units", type=click.Choice(UNITS), expose_value=False,
                            help="Text in mm and kg, or in inches and pounds; JSON stays as it is. Also behind the "
                                 "command, and as SEATPLAN_UNITS.")
color_option = click.option("--color", type=click.Choice(_CHOICES["--color"][1]), expose_value=False,
                            help="Colour for verdicts and cautions, beside their words: on a terminal unless NO_COLOR "
                                 "is set, or always, or never. Also behind the command, and as SEATPLAN_COLOR.")


@frozen
class Chosen:
    """How text is printed, and the arguments that do not say so."""

    rest: Sequence[str]
    lang: str = "en"
    units: str = "metric"
    color: str = "auto"


def chosen(args: Sequence[str], environment: Mapping[str, str]) -> Chosen:
    """What the options say, which may stand anywhere before ``--``. What is printed with ``--json`` is for programs,
    and never changes. Raises Misuse."""
    rest, given = [], {}
    words = iter(args)
    for word in words:
        name, sign, value = word.partition("=")
        if word == "--":
            rest += [word, *words]
        elif name in _CHOICES:
            found = value if sign else next(words, None)
            if found is None:
                raise click.UsageError(f"option '{name}' requires an argument")
            given[name] = one_of(found, _CHOICES[name][1], f'{name} is "{found}"')
        else:
            rest.append(word)
    for name, (variable, allowed) in _CHOICES.items():
        if name not in given and environment.get(variable):
            given[name] = one_of(environment[variable], allowed, f'{variable} is "{environment[variable]}"')
    if "--json" in rest:
        given = {}
    return Chosen(rest, **{name.removeprefix("--"): value for name, value in given.items()})


def tell_click() -> None:
    """Let click find its own words in our catalogue, in the language of whoever is being answered. Click asks gettext
    for one language of the whole process; threads may speak several."""
    for name, module in list(sys.modules.items()):
        if name.partition(".")[0] == "click" and getattr(module, "_", None) is gettext.gettext:
            module._ = look_up                          # type: ignore[attr-defined]
            if hasattr(module, "ngettext"):
                module.ngettext = plural                # type: ignore[attr-defined]


def localized(command: click.Command) -> click.Command:
    """The command with its help in the language in force."""
    if language() == "en":
        return command
    told = copy.copy(command)
    told.help, told.short_help = paragraphs(command.help), t(command.short_help or "")
    told.epilog = paragraphs(command.epilog)
    told.params = [_param(param) for param in command.params]
    told._help_option = None            # click keeps it from the first help, which may have been in English
    return told


def _param(param: click.Parameter) -> click.Parameter:
    told = copy.copy(param)
    if isinstance(told.type, (click.types.IntParamType, click.types.FloatParamType)):
        told.type = copy.copy(told.type)                     # click names it in its errors
        told.type.name = t("whole number") if isinstance(told.type, click.types.IntParamType) else t("number")
    if isinstance(told, click.Option) and told.help:
        told.help = t(told.help)
    return told


def paragraphs(text: str | None) -> str | None:
    """Each paragraph looked up by itself; examples, which click leaves unwrapped, stay as they are."""
    return text and "\n\n".join(told if "\b" in told else t(" ".join(told.split()))
                                for told in text.split("\n\n"))
