"""seatplan completion"""

from __future__ import annotations

from typing import Literal

import click

from .asking import Asking
from .output import say


@click.command("completion", cls=Asking, short_help="Print a script that lets a shell complete.")
@click.argument("shell", type=click.Choice(["bash", "zsh", "fish"]))
@click.pass_context
def command(context: click.Context, shell: Literal["bash", "zsh", "fish"]) -> int:
    """Print a script with which SHELL completes commands, options, bundled names, and riders and seats of a trip.

    Where bash and fish look for such files by themselves; zsh looks in the folders of its `fpath`:

    \b
      seatplan completion bash > ~/.local/share/bash-completion/completions/seatplan
      seatplan completion zsh > ~/.zfunc/_seatplan
      seatplan completion fish > ~/.config/fish/completions/seatplan.fish
    """
    from click.shell_completion import ShellComplete, get_completion_class

    kind = get_completion_class(shell)
    assert kind is not None
    whole = context.find_root()
    name = whole.info_name or "seatplan"
    # of the base: that of bash starts a bash to ask for its version
    say(f"{ShellComplete.source(kind(whole.command, {}, name, f'_{name.upper()}_COMPLETE')).strip()}\n")
    return 0
