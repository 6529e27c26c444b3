"""What the tests of whole runs share: a class that answers, and what the record says of it."""

import multiprocessing
import os
import signal
import sqlite3
import sys

import make_returns
from make_returns import FULL

STARTED = multiprocessing.get_context("spawn" if os.name == "nt" else "forkserver")
if os.name != "nt":  # loading takes longer than most of what a run then does
    STARTED.set_forkserver_preload(["suspedu.commands.mark"])


def say(said, words):
    """Run a command and write what it says into a file, and heed Ctrl-C as from a terminal."""
    from suspedu.cli import main

    signal.signal(signal.SIGINT, signal.default_int_handler)
    handle = os.open(said, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
    for stream in (1, 2):
        os.dup2(handle, stream)
    sys.stdout, sys.stderr = os.fdopen(1, "w"), os.fdopen(2, "w")
    sys.exit(main(words))


class Run:
    """A command in a process of its own, forked from one that has loaded it."""

    def __init__(self, said, words):
        self.said = said
        self.process = STARTED.Process(target=say, args=(str(said), words))
        self.process.start()
        self.pid, self.is_alive = self.process.pid, self.process.is_alive

    def kill(self):
        self.process.kill()
        self.process.join()

    def ended(self, timeout=None):
        """Exit code and all that was said."""
        self.process.join(timeout)
        return self.process.exitcode, self.said.read_text(encoding="utf-8")


def answer_all(place, returns, numbers, answers):
    """Returns of some students, all answered alike or as `answers(student)` says."""
    for number in numbers:
        folder = returns / number
        folder.mkdir(parents=True)
        copy = (place.handed_out / number / "90_demo.ipynb").read_bytes()
        scene = make_returns.Scene(copy, folder, number)
        scene.write(scene.answered(answers(number) if callable(answers) else answers))


def points(place):
    with place.record() as record:
        return {m.student: {q.question: q.earned for q in m.questions if q.question in FULL} for m in record.marked()}


def look(place):
    """All marks, after seeing that the record is sound."""
    base = sqlite3.connect(place.folder / "record.sqlite")
    try:
        assert base.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert not base.execute("SELECT 1 FROM marked GROUP BY student, exercise HAVING count(*) > 1").fetchall()
    finally:
        base.close()
    return points(place)
