"""Classes of hostile, broken and harmless returns, one for each group of kinds, marked once for all the tests here.

The hostile ones run in the sandbox only: the limited mode contains accidents, not attackers. Without bubblewrap their
tests are skipped with that reason, except in CI (variable CI=true), where they fail.
"""

import contextlib
import io
import os
import socket
import sys
import tempfile
import threading
from argparse import Namespace
from dataclasses import dataclass
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
import kinds_code
import kinds_files
import make_returns

from suspedu.commands import mark
from suspedu.coursework.desk import desk, handout, workers
from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.desk.secret import BYTES
from suspedu.coursework.exercise import expected
from suspedu.coursework.running import sandbox
from suspedu.coursework.running.limits import Limits

SANDBOXED = sandbox.chosen_mode("auto").name == "sandboxed"
GROUPS = kinds_code.GROUPS | {"files": kinds_files.KINDS}
STUDENTS = make_returns.students([kind for kinds in GROUPS.values() for kind in kinds])
# Charged, not by the clock. A right cell takes 0.1 s and answers at once; a kernel made dumb is silent for some 4 s.
# A kernel of the demo needs some 90 MB; what fills memory has filled the less of it the sooner.
QUICK = Limits(cell_seconds=1.2, notebook_seconds=20.0, silent_seconds=1.2, resident=500 << 20, files=1500)


@dataclass
class MarkedClass:
    """What a marked class left behind."""

    root: Path
    returns: Path
    desk: desk.Desk
    args: Namespace
    output: str
    marked: dict
    visitors: list
    before: dict


def pytest_generate_tests(metafunc):
    """Each test of a whole class once for each group of kinds; one of a kind once for each kind of each group."""
    if "kind" in metafunc.fixturenames:
        each = [pytest.param(group, kind, id=f"{group}: {kind.name}") for group in GROUPS for kind in GROUPS[group]]
        metafunc.parametrize("hostile, kind", each, indirect=["hostile"])
    elif "hostile" in metafunc.fixturenames:
        metafunc.parametrize("hostile", GROUPS, indirect=True)
    elif "odd" in metafunc.fixturenames:
        metafunc.parametrize("odd", ["odd"], indirect=True)


def pytest_collection_modifyitems(items):
    """Leave the hostile returns out where no sandbox starts, with the reason; CI runs them and fails."""
    missing = not SANDBOXED and os.environ.get("CI") != "true"
    left_out = pytest.mark.skipif(missing, reason=f"hostile code runs in the sandbox only: {sandbox.probe_fault()}")
    for item in items:
        if {"hostile", "odd"} & set(getattr(item, "fixturenames", ())):
            item.add_marker(left_out)


def snapshot(folder: Path) -> dict:
    """Content of all files below a folder."""
    return {str(p): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file() and not p.is_symlink()
            and p.stat().st_size < 10**7}


@pytest.fixture(scope="session")
def run_mark():
    def run(args, limits=QUICK):
        """Exit code and all that was printed."""
        said = io.StringIO()
        with contextlib.redirect_stdout(said), contextlib.redirect_stderr(said):
            code = mark.run(args, limits)
        return code, said.getvalue()
    return run


@pytest.fixture(scope="session")
def arguments(course):
    def made(desk_folder, returns, **rest):
        given = {"returns": Path(returns), "exercise": [], "desk": Path(desk_folder), "mode": "auto", "cluster": None,
                 "solutions": course / "solutions", "exercises": course / "exercises", "threads": 0,
                 "with_solutions": False, "unsealed": False, "as_root": False}
        return Namespace(**given | rest)
    return made


def _fixed_secret(path: Path) -> None:
    """The same secret in each run of the tests: by chance a copied value could be right for two students."""
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    if not path.exists():
        path.touch(mode=0o600)
        path.write_text("5e" * BYTES + "\n", encoding="ascii")


@pytest.fixture(scope="session")
def known(course):
    """Expected prints of every row of numbers as a record keeps them, worked out once for the desks of all tests."""
    found = desk.materials([], course / "solutions", course / "exercises")["90_demo"]
    prints = expected.of_rows(found.solution, range(found.rows))
    return {found.key(row): {q: e.kept() for q, e in by_question.items()}
            for row, by_question in prints.items()}


@pytest.fixture(scope="session")
def hand_out(course, request):
    def handed(folder, numbers, anew=False):
        """A desk that has handed out; one made `anew` has yet to work out what is right."""
        found = desk.materials([], course / "solutions", course / "exercises")
        place = desk.Desk(Path(folder))
        _fixed_secret(place.folder / "course_secret")
        handout.hand_out(place, [Student(number) for number in numbers], found)
        if not anew:
            with place.record() as record:
                record.keep_expected(request.getfixturevalue("known"))
        return place
    return handed


@pytest.fixture(scope="session")
def hostile_desk(tmp_path_factory, hand_out):
    """One desk for all groups that this process marks; each group is a run of its own."""
    assert SANDBOXED, f"CI needs a sandbox for the hostile returns: {sandbox.probe_fault()}"
    return hand_out(tmp_path_factory.mktemp("hostile") / "desk", [*dict.fromkeys(STUDENTS.values()), "other"])


@pytest.fixture(scope="session")
def marked_groups():
    """Marked classes by group, as they come."""
    return {}


@pytest.fixture
def hostile(request, marked):
    """The marked class of one group of kinds."""
    return marked(request.param)


@pytest.fixture
def odd(request, marked):
    """The marked class of odd answers."""
    return marked(request.param)


@pytest.fixture
def marked(marked_groups, hostile_desk, course, arguments, run_mark):
    """Marks a group when it is first asked for."""
    def of(group):
        if group not in marked_groups:
            marked_groups[group] = marked_class(group, hostile_desk, course, arguments, run_mark)
        return marked_groups[group]
    return of


def marked_class(group, place, course, arguments, run_mark) -> MarkedClass:
    """A student for each kind of a group, all of them marked in one run."""
    root, taken = place.folder.parent, {kind.name: STUDENTS[kind.name] for kind in GROUPS[group]}
    returns = root / group
    with listening() as (port, visitors):
        places = {"solution": course / "solutions" / "90_demo.ipynb", "repository": course, "port": port,
                  "secret": place.folder / "course_secret", "record": place.folder / "record.sqlite",
                  "other": place.handed_out / "other" / "90_demo.ipynb",
                  "outside": root / "outside", "heartbeat": root / "heartbeat", "tmp": tempfile.gettempdir()}
        make_returns.write_all(GROUPS[group], place.handed_out, returns, {k: str(v) for k, v in places.items()}, taken)
        before = {name: snapshot(folder) for name, folder in (("course", course), ("handed out", place.handed_out),
                                                              ("returns", returns))}
        args = arguments(place.folder, returns, threads=3)  # much of it is waiting for limits
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(workers, "BATCH", 12)  # more of them in one engine: more neighbours to harm, fewer starts
            _, output = run_mark(args)
    with place.record() as record:
        marked = {m.student: m for m in record.marked() if m.student in taken.values()}
    return MarkedClass(root, returns, place, args, output, marked, visitors, before)


@contextlib.contextmanager
def listening():
    """A server on this machine that notes who calls."""
    visitors = []
    with socket.create_server(("127.0.0.1", 0)) as server:
        server.settimeout(0.2)
        over = threading.Event()

        def serve():
            while not over.is_set():
                with contextlib.suppress(TimeoutError):
                    connection, _ = server.accept()
                    with connection:
                        connection.settimeout(1)
                        visitors.append(connection.recv(100))
        thread = threading.Thread(target=serve)
        thread.start()
        try:
            yield server.getsockname()[1], visitors
        finally:
            over.set()
            thread.join()
