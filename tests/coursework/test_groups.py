"""A kernel that forks without end meets a limit that the system itself holds, root or not."""

import os
import subprocess
import sys
import time
from pathlib import Path

import psutil
import pytest

from suspedu.coursework.running import groups

FILES = "pids.max", "memory.max", "cgroup.procs", "memory.events"
STORM = """
import os, sys, time
from suspedu.coursework.running.groups import new_group
group = new_group("storm", pids=40)
if not group.homes:
    sys.exit(77)
print(*group.homes, flush=True)
started = 0
try:
  with group:
    while started < 200:
        if os.fork() == 0:
            time.sleep(60)
            os._exit(0)
        started += 1
except BlockingIOError:
    print(started, flush=True)
time.sleep(60)
"""


def test_forks_come_to_an_end_and_the_group_goes():
    process = subprocess.Popen([sys.executable, "-c", STORM], stdout=subprocess.PIPE, text=True, start_new_session=True)
    try:
        group = process.stdout.readline().strip()
        if not group:  # no control group to write to here, or not root: it says so, and the ordinary limit holds
            assert process.wait(10) == 77
            return
        assert 20 <= int(process.stdout.readline()) < 40
        groups.clear_groups()
        assert Path(group).exists()  # its process lives
    finally:
        for member in psutil.Process(process.pid).children(recursive=True):
            member.kill()
        process.kill()
        process.communicate()
    _wait_until_gone(Path(group))


def _wait_until_gone(group):
    for _ in range(100):
        groups.clear_groups()
        if not group.exists():
            return
        time.sleep(0.1)
    pytest.fail(f"{group} is still there")


@pytest.fixture
def tree(tmp_path, monkeypatch):
    """A tree of control groups of version 2 in plain files, as systemd makes it: a session below a slice."""
    slice_, own = tmp_path / "user.slice", tmp_path / "own"
    session = slice_ / "session-1.scope"
    session.mkdir(parents=True)
    own.write_text("0::/user.slice/session-1.scope\n")
    (slice_ / "cgroup.subtree_control").write_text("memory pids\n")
    (session / "cgroup.subtree_control").write_text("\n")
    for name, value in (("MOUNT", tmp_path), ("OWN", own)):
        monkeypatch.setattr(groups, name, value)
    monkeypatch.setattr(os, "getuid", lambda: 0)
    return slice_


def test_a_folder_without_the_limit_is_left_as_it_was(tree):
    before = sorted(tree.iterdir())
    assert groups.new_group("k", pids=40, memory=1 << 30).homes == {}
    assert sorted(tree.iterdir()) == before


def test_in_version_2_one_group_beside_the_session_holds_both(tree, monkeypatch):
    """cgroup-v2, "no internal processes": a group with processes in it hands no controller on, so its parent must."""
    made = Path.mkdir

    def as_the_system_makes_it(folder, *how, **more):
        files = () if folder.exists() else FILES
        made(folder, *how, **more)
        for name in files:
            (folder / name).write_text("oom 1\noom_kill 0\n" if name == "memory.events" else "")
    (tree / "session-1.scope" / "cgroup.procs").write_text("")
    monkeypatch.setattr(Path, "mkdir", as_the_system_makes_it)
    group = groups.new_group("k", pids=40, memory=1 << 30)
    folder = tree / f"suspedu-{os.getpid()}-k"
    assert group.homes == {folder: tree / "session-1.scope"}
    assert [(folder / name).read_text() for name in ("pids.max", "memory.max")] == ["40", str(1 << 30)]
    with group:
        assert (folder / "cgroup.procs").read_text() == str(os.getpid())
    assert (tree / "session-1.scope" / "cgroup.procs").read_text() == str(os.getpid())
    assert not group.has_killed()
    (folder / "memory.events").write_text("oom 1\noom_kill 1\n")
    assert group.has_killed()
