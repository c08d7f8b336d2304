"""Options that several commands share."""

from __future__ import annotations

import click
from click.core import ParameterSource

from seatplan.views.say import t

from .usage import Misuse

vehicle_option = click.option(
    "--vehicle", metavar="NAME|FILE", help="Another vehicle in place of the trip's own.")
until_option = click.option(
    "--until", metavar="4y|DATE",
    help="Say how long it lasts, up to then: years, months, or a day; ten years at most. This takes its time.")
rules_option = click.option(
    "--rules", metavar="us|un|FILE", help="Another set of rules in place of the trip's own.")
strict_option = click.option(
    "--strict", is_flag=True, help="What was not measured counts as a no.")
worst_case_option = click.option(
    "--worst-case", is_flag=True,
    help="Add up what the lengths of a sum may be off, instead of the root of the sum of their squares.")
on_day = click.option(
    "--on", metavar="DATE", help="The day of travel, such as 2026-11-25, in place of the trip's own.")
as_json = click.option(
    "--json", "json_out", is_flag=True, is_eager=True, help="Print one JSON object in place of text.")


full_option = click.option(
    "--full", is_flag=True, help="All of the answer, not only what matters first; JSON always has all.")


def _with_json(context: click.Context, option: click.Parameter, full: bool) -> bool:
    """Raises Misuse where a form of JSON is asked for and JSON is not."""
    given = context.get_parameter_source(option.name or "") is ParameterSource.COMMANDLINE
    if given and not context.params.get("json_out"):
        word = "--full" if full else "--brief"
        raise Misuse(t("{word} is a form of --json, which is not given", word=word), t("add --json"))
    return full


json_form = click.option(
    "--full/--brief", "full", default=False, callback=_with_json,
    help="With --json: every finding of every placement, which can be megabytes; or what matters.  [default: brief]")
answer_form = click.option(
    "--full/--brief", "full", default=False,
    help="All of it: every arrangement drawn, who can sit where, why the others are ruled out, with --json every "
         "finding, which can be megabytes; or what matters first.  [default: brief]")
