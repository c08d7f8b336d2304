"""seatplan help"""

from __future__ import annotations

from typing import Any

import click

from seatplan.message import Name
from seatplan.views.say import t

from .asking import Asking
from .output import say
from .usage import Misuse

#: a command of which single words are explained, and which prints the explanation
_EXPLAINS = "rules"


@click.command("help", cls=Asking, short_help="How to use a command, or what a rule says.")
@click.argument("command", required=False)
@click.argument("topic", required=False)
@click.pass_context
def command(context: click.Context, command: str | None, topic: str | None) -> Any:
    """Print how COMMAND is used; without one, what commands there are.

    Behind `rules` a TOPIC is explained: a rule, or `order`.

    \b
      seatplan help
      seatplan help arrange
      seatplan help rules order
    """
    whole = context.parent
    assert whole is not None
    assert isinstance(whole.command, click.Group)
    if command is None:
        say(f"{whole.get_help()}\n")
        return 0
    name, found, _ = whole.command.resolve_command(whole, [command])
    assert name is not None
    assert found is not None
    if topic is not None and name != _EXPLAINS:
        raise Misuse(t("nothing of `{name}` is explained by itself: {topic}", name=name, topic=Name(topic)),
                     t("`seatplan help {name}` shows how to use it", name=name))
    if topic is not None:
        return context.invoke(found, rule=topic)
    with click.Context(found, whole, name, **found.context_settings) as below:
        say(f"{below.get_help()}\n")
    return 0
