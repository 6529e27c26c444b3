"""What the watch over a kernel sees: memory, deep folders, files without a name; and that none goes on without it."""

import os
import subprocess
import sys
import time

import psutil
import pytest

from suspedu.coursework.running import scratch, usage, watch
from suspedu.coursework.running.limits import Limits

MB = 1 << 20
LINUX = pytest.mark.skipif(sys.platform != "linux", reason="reads /proc")
HOLDS = """
import os, tempfile, time
deleted = tempfile.TemporaryFile()
deleted.write(b"x" * (3 << 20))
deleted.flush()
nameless = os.memfd_create("hidden")
os.write(nameless, b"x" * (5 << 20))
again = os.dup(nameless)
print("ready", flush=True)
time.sleep(60)
"""


def nested(folder, depth):
    """So many folders in each other, made from within: the path of the last is longer than any that can be opened."""
    here = os.open(folder, os.O_RDONLY)
    for _ in range(depth):
        os.mkdir("a" * 20, dir_fd=here)
        inner = os.open("a" * 20, os.O_RDONLY, dir_fd=here)
        os.close(here)
        here = inner
    with open("last", "wb", opener=lambda path, flags: os.open(path, flags, dir_fd=here)) as file:
        file.write(b"x")
    os.close(here)


@pytest.fixture
def held():
    """A process that is ended afterwards."""
    started = []

    def start(source):
        started.append(subprocess.Popen([sys.executable, "-c", source], stdout=subprocess.PIPE,
                                        stderr=subprocess.DEVNULL, text=True))
        return psutil.Process(started[-1].pid), started[-1]
    yield start
    for process in started:
        process.kill()
        process.communicate()


def test_deep_folders_end_neither_the_look_nor_the_removal(tmp_path):
    place = tmp_path / "work"
    place.mkdir()
    nested(place, 1300)
    found = usage.held_files(place, 4000)
    assert found.depth == usage.DEEPEST + 1 and found.count <= 4000
    scratch.remove(place)
    assert list(tmp_path.iterdir()) == []


def test_files_are_added_up_and_a_look_ends(tmp_path):
    for number in range(20):
        (tmp_path / f"{number}").write_bytes(b"x" * 100)
    (tmp_path / "link").symlink_to("/")
    folder = tmp_path / "folder"
    folder.mkdir()
    (folder / "inside").write_bytes(b"x" * 1000)
    found = usage.held_files(tmp_path, 100)
    assert (found.count, found.depth) == (23, 2)
    assert found.size == 20 * 100 + 1000 + os.lstat(tmp_path / "link").st_size + folder.stat().st_size
    assert usage.held_files(tmp_path / "none", 100) == usage.Files(depth=1)


def test_removal_leaves_what_a_link_points_to_and_opens_what_was_closed(tmp_path):
    kept, place = tmp_path / "kept", tmp_path / "work"
    (place / "closed").mkdir(parents=True)
    kept.write_text("kept")
    (place / "link").symlink_to(kept)
    (place / "closed" / "file").write_text("x")
    (place / "closed").chmod(0)
    scratch.remove(place)
    assert not place.exists() and kept.read_text() == "kept"


@LINUX
def test_deleted_files_and_memory_without_a_name_are_seen_once_each(held):
    process, pipe = held(HOLDS)
    assert pipe.stdout.readline() == "ready\n"
    assert usage.unnamed_files([process]) == usage.Files(8 * MB, 2)


def test_a_watch_that_fails_ends_its_kernel_and_says_so(held, tmp_path, monkeypatch):
    process, pipe = held("import time\ntime.sleep(60)")
    monkeypatch.setattr(watch.usage, "held_files", lambda *given: 1 / 0)
    over = watch.Watch(process.pid, (tmp_path,), Limits())
    pipe.wait(20)  # it would sleep for a minute
    assert not process.is_running()
    assert over.reason == "the watch over it failed (ZeroDivisionError)"


def test_a_watch_that_is_gone_is_noticed(held, tmp_path, monkeypatch):
    process, pipe = held("import time\ntime.sleep(60)")
    monkeypatch.setattr(watch.Watch, "_look_until_over", lambda self: None)
    over = watch.Watch(process.pid, (tmp_path,), Limits())
    until = time.monotonic() + 20
    while not over.is_dead and time.monotonic() < until:
        time.sleep(0.05)
    assert over.is_dead
    over.stop()
    pipe.wait(20)
    assert not process.is_running() and not over.is_dead
