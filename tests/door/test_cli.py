"""The command: quick help, one table, slips in one sentence, no traceback for a person's mistake."""

import argparse
import io
import os
import subprocess
import sys
from types import SimpleNamespace

import pytest

from suspedu import cli
from suspedu.commands.progress import Progress
from suspedu.units import InputError


def suspedu(*words: str, **options) -> subprocess.CompletedProcess:
    command = [sys.executable, "-W", "error", "-m", "suspedu", *words]
    return subprocess.run(command, capture_output=True, text=True, timeout=120, **options)


def test_help_names_every_command():
    done = suspedu("--help")
    assert done.returncode == 0
    assert all(f"\n    {name}" in done.stdout for name in cli.COMMANDS)


@pytest.mark.parametrize("name", cli.COMMANDS)
def test_each_command_has_help(name):
    done = suspedu(name, "--help")
    assert done.returncode == 0 and done.stdout.startswith(f"usage: suspedu {name}"), done.stderr


def test_help_is_light():
    program = "import sys; from suspedu.cli import _parser; _parser(None).format_help(); print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, timeout=60)
    assert not {"numpy", "jupyter_core", "pytest", "nbformat"} & set(done.stdout.split())


@pytest.mark.parametrize("words", [(), ("opne",), ("open", "--port", "eighty"), ("selfmark",), ("handout",), ("mark",),
                                   ("mark", "returns", "--mode", "free"), ("democlass", "marks", "demo")])
def test_wrong_words_are_refused_with_usage(words):
    done = suspedu(*words)
    assert done.returncode == 2 and "usage: suspedu" in done.stderr and "Traceback" not in done.stderr


@pytest.mark.parametrize(("words", "sentence"), [
    (("open", "--port", "80"), "suspedu: port is 80; allowed: 1024 to 65535"),
    (("open", "taken"), "suspedu: cannot write the course into"),
    (("handout", "absent.csv", "01"), "suspedu: 'absent.csv' cannot be read"),
    (("mark", "absent", "01"), "suspedu: 'suspedu-desk' holds no record; hand out first"),
    (("classbook", "--desk", "elsewhere"), "suspedu: 'elsewhere' holds no record"),
    (("democlass", "returns", "demo"), "suspedu: nothing was handed out in"),
    (("democlass", "list", "demo", "--students", "41"), "suspedu: students is 41; allowed: 1 to 40"),
])
def test_a_slip_is_one_sentence(tmp_path, words, sentence):
    (tmp_path / "taken").write_text("")
    done = suspedu(*words, cwd=tmp_path)
    assert done.returncode == 2 and done.stderr.startswith(sentence) and done.stderr.count("\n") == 1


def test_from_a_class_list_to_a_class_book_without_marks(tmp_path):
    """The instructor's commands in their order; the marking itself is tested with the desk."""
    assert suspedu("democlass", "list", "demo", "--students", "3", cwd=tmp_path).returncode == 0
    done = suspedu("handout", "demo/class.csv", "01", "--desk", "demo/desk", cwd=tmp_path)
    assert "3 students, 1 exercise in" in done.stdout and "3 written" in done.stdout, done.stderr
    done = suspedu("democlass", "returns", "demo", cwd=tmp_path)
    assert done.stdout.startswith("3 returns written") and len([*tmp_path.glob("demo/returns/*/*.ipynb")]) == 3
    done = suspedu("classbook", "--desk", "demo/desk", cwd=tmp_path)
    assert done.returncode == 0 and "Not returned 01_springs_preload_sag: 2001, 2002, 2003" in done.stdout
    assert (tmp_path / "demo" / "desk" / "classbook.html").is_file()


def _command(work):
    return lambda: (lambda: SimpleNamespace(add_arguments=lambda parser: None, run=lambda args: work()), "for a test")


def _raise(fault):
    raise fault


@pytest.mark.parametrize(("work", "code", "said"), [
    (lambda: 0, 0, ""),
    (lambda: None, 0, ""),
    (lambda: 1, 1, ""),
    (lambda: _raise(InputError("oil height is 450 mm")), 2, "suspedu: oil height is 450 mm\n"),
    (lambda: _raise(KeyboardInterrupt()), 130, "stopped\n"),
])
def test_exit_codes(monkeypatch, capsys, work, code, said):
    monkeypatch.setitem(cli.COMMANDS, "try", _command(work)())
    assert cli.main(["try"]) == code
    assert capsys.readouterr().err == said


def test_a_fault_of_ours_is_not_hidden(monkeypatch):
    monkeypatch.setitem(cli.COMMANDS, "try", _command(lambda: _raise(ValueError("a bug")))())
    with pytest.raises(ValueError, match="a bug"):
        cli.main(["try"])


def test_only_the_named_command_is_loaded(monkeypatch):
    monkeypatch.setitem(cli.COMMANDS, "broken", (lambda: _raise(AssertionError("loaded")), "must not load"))
    assert isinstance(cli._parser("ready"), argparse.ArgumentParser)


def unread(*words: str, **options) -> tuple[int, str]:
    """Exit code and stderr of a command whose reader goes away before it has printed anything."""
    reading, writing = os.pipe()
    os.close(reading)
    try:
        done = subprocess.run([sys.executable, "-W", "error", "-m", "suspedu", *words], stdout=writing,
                              stderr=subprocess.PIPE, text=True, timeout=120, **options)
    finally:
        os.close(writing)
    return done.returncode, done.stderr


@pytest.mark.skipif(os.name == "nt", reason="pipes end otherwise there")
def test_a_reader_that_goes_away_ends_a_command_quietly(tmp_path):
    """As `suspedu classbook | head` does: help, a table that waits in a buffer, and one that goes out line by line."""
    assert suspedu("democlass", "list", "demo", "--students", "3", cwd=tmp_path).returncode == 0
    assert suspedu("handout", "demo/class.csv", "01", "--desk", "demo/desk", cwd=tmp_path).returncode == 0
    book = ("classbook", "--desk", "demo/desk")
    assert unread("--help")[1] == ""  # argparse itself forgives it
    assert unread(*book, cwd=tmp_path) == (cli.UNREAD, "")
    assert unread(*book, cwd=tmp_path, env=os.environ | {"PYTHONUNBUFFERED": "1"}) == (cli.UNREAD, "")
    assert unread("open", "--port", "80")[0] == cli.USER_SLIP


def test_progress_that_nobody_reads_stops_no_work():
    class Closed(io.StringIO):
        def write(self, _):
            raise BrokenPipeError

    progress = Progress(2, stream=Closed())
    progress.step(2)
    assert progress.done == 2
