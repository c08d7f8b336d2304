"""Every text that users read, for the catalogue. Run it to bring the catalogues up to date:

    python tests/language/collect.py

It needs babel (``pip install -e '.[i18n]'``). Marked texts are found in the source; what is kept in tables of
commands, rules and findings, and in comments of the files to fill in, is taken from there.
"""

from __future__ import annotations

import ast
import inspect
import re
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path

import click
from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

import seatplan
from seatplan.cli.main import COMMANDS, main
from seatplan.fields import FIELDS
from seatplan.files.steps import stages
from seatplan.message import Message as Said
from seatplan.readings import READINGS
from seatplan.rules.load import BUNDLED, bundled_profile
from seatplan.rules.registry import RULES
from seatplan.solver.ranking import CRITERIA
from seatplan.views.manner import LANGUAGES
from seatplan.views.rules_text import paragraphs
from seatplan.views.say import DOMAIN, LOCALE
from seatplan.views.template_text import pieces

PACKAGE = Path(seatplan.__file__).parent
#: functions whose first argument is a text
MARKS = ("t", "said", "spans", "joined", "N", "Misuse", "look_up")
#: texts of click that users meet; click looks them up by itself
CLICK = (
    "Usage:", "Options", "Arguments", "Commands", "Show this message and exit.", "Show the version and exit.",
    "[OPTIONS]", "Missing argument", "Missing option", "Missing parameter",
    "default: {default}", "required",
    "{value!r} is not a valid {number_type}.",
    "{value} is not in the range {range}.", "Invalid value for {param_hint}: {message}", "Invalid value: {message}",
    "Got unexpected extra argument ({args})", "Option {name!r} requires an argument.",
    "Option {name!r} does not take a value.", "Missing argument {param_hint}.",
)
Message = str | tuple[str, str]


def messages() -> dict[Message, str]:
    """Each text, with plural where it has one, and where it stands."""
    found: dict[Message, str] = {}
    for text, place in (*_marked(), *_commands(), *_rules(), *_fields(), *_readings(), *_steps(), *_order(),
                        *_profiles(), *_templates()):
        if _says_anything(text if isinstance(text, str) else text[0]):
            found.setdefault(text, place)
    for text in CLICK:
        found.setdefault(text, "click")
    return found


def _says_anything(text: str) -> bool:
    """Whether a text could be another in another language: it has words, or several fields in some order."""
    rest, fields = re.subn(r"\{[^{}]*\}", "", text)
    return fields > 1 or re.search(r"[^\W\d_]", rest) is not None


def _marked() -> Iterator[tuple[Message, str]]:
    for file in sorted(PACKAGE.rglob("*.py")):
        place = file.relative_to(PACKAGE.parent).as_posix()
        tree = ast.parse(file.read_text(encoding="utf-8"))
        named = {target.id: _constant(node.value) for node in tree.body if isinstance(node, ast.Assign)
                 for target in node.targets if isinstance(target, ast.Name)}
        for node in ast.walk(tree):
            if isinstance(node, ast.Call):
                for text in _texts(node, named):
                    yield text, place


def _texts(call: ast.Call, named: dict[str, str]) -> Iterator[Message]:
    """``named``: the texts that the module keeps under a name of their own."""
    name = call.func.id if isinstance(call.func, ast.Name) else getattr(call.func, "attr", "")
    words = [named.get(a.id, "") if isinstance(a, ast.Name) else _constant(a) for a in call.args]
    if name in MARKS and words and words[0]:
        yield words[0]
    elif name == "plural" and words[0] and words[1]:
        yield words[0], words[1]
    elif name == "count" and len(words) > 1 and words[1]:
        yield words[1], (words[2] if len(words) > 2 and words[2] else words[1] + "s")
    elif name == "Words" or (name == "table" and call.args):
        yield from _values(call.args[0])
    elif name == "listed" and len(words) > 1 and words[1]:
        yield words[1]


def _values(node: ast.expr) -> Iterator[str]:
    """The texts of a table: values of a mapping, items of a list."""
    if isinstance(node, ast.DictComp):
        node = node.generators[0].iter
    items = node.values if isinstance(node, ast.Dict) else getattr(node, "elts", [])
    for item in items:
        if text := _constant(item):
            yield text


def _constant(node: ast.expr) -> str:
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else ""


def _commands() -> Iterator[tuple[str, str]]:
    yield from _help(main)
    for module, line in COMMANDS.values():
        yield line, "seatplan/cli/main.py"
        yield from _help(import_module(f"seatplan.cli.{module}").command)


def _help(command: click.Command) -> Iterator[tuple[str, str]]:
    place = f"command {command.name}"
    for text in (command.help, command.epilog):
        for told in (text or "").split("\n\n"):
            if "\b" not in told:
                yield " ".join(told.split()), place
    yield command.short_help or "", place
    for param in command.params:
        yield getattr(param, "help", None) or "", place
    if isinstance(command, click.Group) and command is not main:
        for below in command.commands.values():
            yield from _help(below)


def _readings() -> Iterator[tuple[str, str]]:
    for key, reading in READINGS.items():
        yield reading.label, f"reading {key}"
        yield reading.how, f"reading {key}"


def _steps() -> Iterator[tuple[str, str]]:
    for stage in stages():
        yield stage.stage, f"steps: {stage.stage}"
        for step in stage.steps:
            for text in (step.text, step.source, *(t for box in step.boxes for t in (box.asked,))):
                if re.search("[A-Za-z]", re.sub(r"\{\w+\}", "", text)):
                    yield text, f"step {step.step}"


def _order() -> Iterator[tuple[str, str]]:
    for criterion in CRITERIA:
        if criterion.step:
            for text in (criterion.title, criterion.why, criterion.source):
                yield text, "seatplan/solver/ranking.py"


def _profiles() -> Iterator[tuple[str, str]]:
    for name in BUNDLED:
        profile = bundled_profile(name)
        for key, threshold in (*profile.thresholds.items(), *profile.by_law.items()):
            yield threshold.source, f"threshold {key}"


def _rules() -> Iterator[tuple[str, str]]:
    for rule in RULES:
        for text in (rule.title, rule.remedy, rule.source, rule.why_weight, *paragraphs(rule)):
            yield text, f"rule {rule.id}"
        for text in rule.says.values():
            yield text, f"rule {rule.id}"
    for text in ("and",):
        yield text, "seatplan/views/wording"
    for text in _tables("seatplan.rules"):
        yield text, "how to measure"


def _fields() -> Iterator[tuple[str, str]]:
    for key, known in FIELDS.items():
        how = known.how.template if isinstance(known.how, Said) else known.how
        for text in (known.label, how, known.short):
            yield text, f"field {key}"


def _templates() -> Iterator[tuple[str, str]]:
    for file in sorted((PACKAGE / "data" / "templates").glob("*.yaml")):
        for piece in pieces(file.read_text(encoding="utf-8")):
            yield piece.words, f"data/templates/{file.name}"


def _tables(*packages: str) -> Iterator[str]:
    """Texts that rules keep in names of their own, such as ``HOW_LATER``."""
    for package in packages:
        module = import_module(package)
        folder = getattr(module, "__path__", None)
        names = [f"{package}.{file.stem}" for file in sorted(Path(folder[0]).glob("*.py"))] if folder else [package]
        for name in names:
            if name.endswith("__init__"):
                continue
            tree = ast.parse(inspect.getsource(import_module(name)))
            for node in tree.body:
                if isinstance(node, (ast.Assign, ast.AnnAssign)) and node.value is not None:
                    yield from (item.value for item in ast.walk(node.value)
                                if isinstance(item, ast.Constant) and isinstance(item.value, str)
                                and " " in item.value.strip())


def path_of(lang: str) -> Path:
    """The catalogue of a language, as text."""
    return LOCALE / lang / "LC_MESSAGES" / f"{DOMAIN}.po"


def update(lang: str) -> Catalog:
    """Add new texts, drop those that are gone, write the catalogue and its compiled form."""
    path = path_of(lang)
    old = Catalog(locale=lang)
    if path.exists():
        with path.open("rb") as stream:
            old = read_po(stream, locale=lang)
    new = Catalog(locale=lang, project="seatplan", charset="utf-8", fuzzy=False, header_comment=old.header_comment,
                  creation_date=old.creation_date)
    # versions of babel count the plural forms of a language differently, and the texts have as many as they have
    new.mime_headers = [("Plural-Forms", old.plural_forms)]
    for text, place in messages().items():
        key = text if isinstance(text, str) else text[0]
        known = old.get(key)
        string = known.string if known and isinstance(known.id, str) == isinstance(text, str) else ""
        new.add(text, string or ("" if isinstance(text, str) else ("", "")), auto_comments=[place])
    with path.open("wb") as stream:
        write_po(stream, new, width=100, sort_output=False, omit_header=False)
    with path.with_suffix(".mo").open("wb") as stream:
        write_mo(stream, new)
    return new


if __name__ == "__main__":
    for language in LANGUAGES:
        if language != "en":
            missing = sum(not (message.string if isinstance(message.string, str) else all(message.string))
                          for message in update(language) if message.id)
            print(f"{language}: {missing} texts without a translation")
