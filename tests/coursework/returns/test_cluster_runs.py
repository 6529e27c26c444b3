"""Marking on a cluster: a worker that is lost loses no mark, a cluster that is not there is named."""

import contextlib
import threading
import time

import psutil
import pytest
from desk_runs import answer_all, look
from make_returns import ALONE, FULL

from suspedu.coursework.running import sandbox
from suspedu.units import InputError

pytestmark = pytest.mark.timeout(900)


def killed_at_work(worker: psutil.Process) -> None:
    """Kill a worker as soon as it marks."""
    for _ in range(2000):
        with contextlib.suppress(psutil.Error):
            if any("suspedu.coursework.running.engine" in child.cmdline() for child in worker.children(recursive=True)):
                return worker.kill()
        time.sleep(0.05)


def test_a_cluster_that_loses_a_worker_loses_no_mark(tmp_path, hand_out, arguments, run_mark, monkeypatch):
    """The mode that is said is the workers', not that of the machine on which the command was typed."""
    there = sandbox.chosen_mode("auto")
    monkeypatch.setattr(sandbox, "probe_fault", lambda: "there is none where the command is typed")
    distributed = pytest.importorskip("dask.distributed")
    numbers = [str(k) for k in range(1, 19)]
    place = hand_out(tmp_path / "desk", numbers)
    answer_all(place, tmp_path / "returns", numbers, {"q2": ALONE})
    with distributed.LocalCluster(n_workers=2, threads_per_worker=1, processes=True, dashboard_address=":0",
                                  silence_logs=50) as cluster:
        first = next(iter(cluster.workers.values())).process.process
        killer = threading.Thread(target=killed_at_work, args=(psutil.Process(first.pid),))
        killer.start()
        code, output = run_mark(arguments(place.folder, tmp_path / "returns", cluster=cluster.scheduler_address))
        running = killer.is_alive()
        killer.join()
    assert not running, "the run was over before the worker was killed"
    assert code == 0 and "18 marked" in output
    assert f"Mode on 2 worker(s): {there.words}\n" in output and "where the command is typed" not in output
    assert look(place) == dict.fromkeys(numbers, FULL)


def test_a_cluster_without_workers_says_so(tmp_path, hand_out, arguments, run_mark):
    distributed = pytest.importorskip("dask.distributed")
    place = hand_out(tmp_path / "desk", ["1"])
    with distributed.LocalCluster(n_workers=0, dashboard_address=":0", silence_logs=50) as cluster:
        address = cluster.scheduler_address
        with pytest.raises(InputError, match=f"the cluster at '{address}' has no workers; start some: dask worker"):
            run_mark(arguments(place.folder, tmp_path, cluster=address))


def test_a_cluster_that_is_not_there_is_named(tmp_path, hand_out, arguments, run_mark, monkeypatch):
    from suspedu.coursework.desk import workers

    monkeypatch.setattr(workers, "PATIENCE", 1)
    place = hand_out(tmp_path / "desk", ["1"])
    answer_all(place, tmp_path / "returns", ["1"], {})
    with pytest.raises(InputError, match="no Dask scheduler answers at 'tcp://127"):
        run_mark(arguments(place.folder, tmp_path / "returns", cluster="tcp://127.0.0.1:1"))
