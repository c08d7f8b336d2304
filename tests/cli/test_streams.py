"""Standard output and error that are full, closed, or that nobody reads; and Ctrl-C at any moment."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from running import without_progress

PROGRAM = f"{sys.executable} -m seatplan"
#: every way in which something comes out, and the code that it has otherwise
SAYING = {
    "--help": 0, "--version": 0, "arrange --help": 0, "list": 0, "new trip": 0, "rules": 0, "schema vehicle": 0,
    "rules head-near-shell-top": 0, "measure --blank vehicle": 0, "measure two-seater-airbag-off": 0,
    "check seatplan/data/trips/two-seater-airbag-off.yaml": 0, "arrange two-seater-airbag-off": 0,
    "arrange two-seater-airbag-off --json": 0, "why two-seater-airbag-off --rider Pip": 0,
    "draw two-seater-airbag-off -o -": 0, "rules --lang es": 0, "--help --lang es": 0,
}
#: what is told on standard error
WARNING = {"arrange": 2, "bogus": 2, "arrange no-such-trip": 2, "--lang xx list": 2,
           "arrange two-seater-airbag-off --on 2027-03-01": None}
ROOT = Path(__file__).resolve().parent.parent.parent
LINUX = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="/dev/full is there on Linux")


@pytest.fixture(autouse=True)
def ctrl_c_is_heard() -> Iterator[None]:
    """Where the tests run in the background Ctrl-C is ignored, and programs that are started would ignore it too."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


def shell(line: str, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(["bash", "-c", line], capture_output=True, text=True, check=False, cwd=ROOT,
                          env={**os.environ, **environment})


@LINUX
@pytest.mark.parametrize("args", SAYING)
@pytest.mark.parametrize("buffered", ["", "1"], ids=["buffered", "unbuffered"])
def test_full_standard_output_is_one_line_and_74(args: str, buffered: str):
    done = shell(f"{PROGRAM} {args} > /dev/full", PYTHONUNBUFFERED=buffered)
    assert done.returncode == 74
    assert re.fullmatch(r"error: stdout: .*\n", without_progress(done.stderr))


@pytest.mark.parametrize("args", SAYING)
def test_closed_standard_output_is_one_line_and_74(args: str):
    done = shell(f"{PROGRAM} {args} >&-")
    assert done.returncode == 74
    assert re.fullmatch(r"error: stdout: .*\n", without_progress(done.stderr))


@LINUX
@pytest.mark.parametrize("args", WARNING)
@pytest.mark.parametrize("shut", ["2> /dev/full", "2>&-"])
@pytest.mark.parametrize("buffered", ["", "1"], ids=["buffered", "unbuffered"])
def test_what_cannot_be_told_on_standard_error_is_74(args: str, shut: str, buffered: str):
    done = shell(f"{PROGRAM} {args} {shut}", PYTHONUNBUFFERED=buffered)
    assert (done.stdout, done.stderr, done.returncode) == ("", "", 74)


@pytest.mark.parametrize("shut", ["2>&-", "2> /dev/null"])
def test_standard_error_that_nothing_is_told_on_may_be_closed(shut: str):
    done = shell(f"{PROGRAM} arrange two-seater-airbag-off {shut}")
    assert (done.returncode, done.stdout[:10]) == (0, "Two-seater")


@LINUX
@pytest.mark.parametrize("shut", ["> /dev/full 2>&1", ">&- 2>&-"])
def test_nowhere_to_write_is_74(shut: str):
    assert shell(f"{PROGRAM} arrange two-seater-airbag-off --json {shut}").returncode == 74
    assert shell(f"{PROGRAM} bogus {shut}").returncode == 74


@LINUX
def test_json_still_says_what_could_not_be_told():
    done = shell(f"{PROGRAM} arrange two-seater-airbag-off --on 2027-03-01 --json 2> /dev/full")
    failure = json.loads(done.stdout)
    assert (done.returncode, failure["verdict"]) == (74, "error")
    assert [(error["path"], error["text"]) for error in failure["errors"]] == [
        ("stderr", "cannot be written to: no space left on device")]


@LINUX
def test_in_spanish_it_is_told_in_spanish():
    assert "no se puede escribir ahí" in shell(f"{PROGRAM} list --lang es > /dev/full").stderr


@pytest.mark.parametrize("args", [*SAYING, "arrange three-boosters-two-belts"])
def test_a_reader_that_has_gone_leaves_the_code_of_the_answer(args: str):
    done = shell(f"sleep 0.1 | {{ {PROGRAM} {args}; echo $? >&2; }} | true")
    assert without_progress(done.stderr) == f"{SAYING.get(args, 1)}\n"


def test_our_own_bug_stays_our_bug_where_it_cannot_be_told():
    broken = ("import seatplan.solver.plan as solver, sys\nsolver.plan = None\n"
              "from seatplan.cli.main import run\nrun(['arrange', 'two-seater-airbag-off'])")
    assert subprocess.run(["bash", "-c", f'{sys.executable} -c "{broken}" 2>&-'], check=False,
                          cwd=ROOT).returncode == 70


def stopped_at(where: str, *args: str) -> subprocess.CompletedProcess[str]:
    """Run the program as its console script does, and have it stopped when a module is first looked for."""
    code = f"""\
import os, signal, sys

class Stops:
    def find_spec(self, name, path=None, target=None):
        if name == {where!r}:
            sys.meta_path.remove(self)
            os.kill(os.getpid(), signal.SIGINT)

sys.meta_path.insert(0, Stops())
sys.argv = ["seatplan", *{list(args)!r}]
from seatplan.__main__ import run
sys.exit(run())
"""
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False, cwd=ROOT)


@pytest.mark.parametrize("where", ["seatplan.cli.main", "click", "seatplan.views.say", "seatplan.cli.arrange",
                                   "pydantic", "yaml",
                                   "seatplan.model.trip", "seatplan.solver.plan", "seatplan.views.plan_text"])
def test_ctrl_c_during_an_import_is_130_without_a_traceback(where: str):
    done = stopped_at(where, "arrange", "two-seater-airbag-off")
    assert (done.stdout, done.stderr, done.returncode) == ("", "error: stopped\n", 130)


@pytest.mark.parametrize("where", ["numpy", "numpy.lib", "numpy.matrixlib"])
def test_ctrl_c_while_the_sums_of_a_long_row_start_is_130_without_a_traceback(where: str):
    done = stopped_at(where, "arrange", "nine-seat-shuttle")
    assert (done.stdout, done.stderr, done.returncode) == ("", "error: stopped\n", 130)


def test_ctrl_c_during_the_final_flush_is_130():
    with subprocess.Popen([sys.executable, "-m", "seatplan", "schema", "plan"], stdout=subprocess.PIPE,
                          stderr=subprocess.PIPE, pipesize=4096, cwd=ROOT) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.read(1)              # the rest is more than the pipe holds: it waits in its flush
        time.sleep(0.5)
        process.send_signal(signal.SIGINT)
        assert process.wait(10) == 130
        assert b"Traceback" not in process.stderr.read()


def test_ctrl_c_is_told_in_the_language_in_force():
    done = stopped_at("seatplan.solver.plan", "arrange", "two-seater-airbag-off", "--lang", "es")
    assert (done.stderr, done.returncode) == ("error: detenido\n", 130)


def test_ctrl_c_while_a_file_takes_its_name_waits_for_it(tmp_path: Path):
    code = ("import os, signal, sys\nfrom seatplan.__main__ import run\nwhole = os.fsync\n"
            "def stopped(handle):\n    os.kill(os.getpid(), signal.SIGINT)\n    whole(handle)\n"
            "os.fsync = stopped\nrun()")
    done = subprocess.run([sys.executable, "-c", code, "draw", "two-seater-airbag-off", "-o", str(tmp_path / "a.svg")],
                          capture_output=True, text=True, check=False, cwd=ROOT)
    assert (done.stderr, done.returncode) == ("error: stopped\n", 130)
    assert [path.name for path in tmp_path.iterdir()] == ["a.svg"]
    assert (tmp_path / "a.svg").read_text(encoding="utf-8").endswith("</svg>\n")


@pytest.mark.parametrize("after_s", [0.02, 0.04, 0.06, 0.08, 0.1, 0.15, 0.2, 0.3, 0.4, 0.6])
def test_ctrl_c_at_any_time_is_130_or_the_answer(after_s: float):
    code = "from seatplan.__main__ import run\nprint('on', flush=True)\nimport sys\nsys.exit(run())"
    with subprocess.Popen([sys.executable, "-c", code, "arrange", "two-seater-airbag-off"], stdout=subprocess.PIPE,
                          stderr=subprocess.PIPE, cwd=ROOT, text=True) as process:
        assert process.stdout is not None
        process.stdout.readline()
        time.sleep(after_s)
        process.send_signal(signal.SIGINT)
        _, told = process.communicate()
    assert process.returncode in (130, 0)
    assert "Traceback" not in told


def test_a_stop_that_is_ignored_stays_ignored():
    code = ("import os, signal, sys\nsignal.signal(signal.SIGINT, signal.SIG_IGN)\nsys.argv[1:] = ['--version']\n"
            "from seatplan.__main__ import run\nos.kill(os.getpid(), signal.SIGINT)\nrun()")
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False, cwd=ROOT)
    assert (done.returncode, done.stderr) == (0, "")


def test_the_codes_are_listed():
    told = " ".join(shell(f"{PROGRAM} --help").stdout.split()).partition("Exit codes: ")[2].partition(". ")[0]
    readme = " ".join((ROOT / "README.md").read_text(encoding="utf-8").split())
    listed = readme.partition("Exit codes: ")[2].partition(". ")[0]
    for text in (told, listed):
        assert [int(code) for code in re.findall(r"(?:^|, )(\d+) ", text)] == [0, 1, 2, 3, 70, 74, 130]
