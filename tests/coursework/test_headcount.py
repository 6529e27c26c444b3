"""A kernel that forks without end meets a limit that the system itself holds, root or not."""

import os
import subprocess
import sys
import time
from pathlib import Path

import psutil
import pytest

from suspedu.coursework.running import headcount

STORM = """
import os, sys, time
from suspedu.coursework.running.headcount import hold_tasks
group = hold_tasks(40)
if group is None:
    sys.exit(77)
print(group, flush=True)
started = 0
try:
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
        headcount.clear_groups()
        assert Path(group).exists()  # its process lives
    finally:
        for member in psutil.Process(process.pid).children(recursive=True):
            member.kill()
        process.kill()
        process.communicate()
    _wait_until_gone(Path(group))


def _wait_until_gone(group):
    for _ in range(100):
        headcount.clear_groups()
        if not group.exists():
            return
        time.sleep(0.1)
    pytest.fail(f"{group} is still there")


def test_a_folder_without_the_limit_is_left_as_it_was(tmp_path, monkeypatch):
    monkeypatch.setattr(headcount, "PLACES", (tmp_path, tmp_path / "none"))
    monkeypatch.setattr(os, "getuid", lambda: 0)
    assert headcount.hold_tasks(40) is None
    assert list(tmp_path.iterdir()) == []
