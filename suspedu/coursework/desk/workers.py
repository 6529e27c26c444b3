"""Who does the marking: threads on this machine, each over batches in engines of their own, or a Dask cluster.

A crew is called with an iterator of tasks and how many there may be; it gives results as they are done
and asks for tasks only as it can take them, so that a large class needs no more memory than a small one.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from itertools import islice
from threading import Event

import psutil

from suspedu.coursework.exercise import verdicts
from suspedu.coursework.exercise.batch import Result, mark_batch
from suspedu.coursework.exercise.task import Task
from suspedu.coursework.exercise.versions import versions
from suspedu.coursework.running import sandbox
from suspedu.coursework.running.limits import Limits
from suspedu.units import InputError

PATIENCE = 20  # s to wait for a scheduler
BREATH = 0.1  # s between two looks whether a stopped run still starts engines
BATCH = 5  # returns per engine: its start is shared, and little is lost when a run is stopped
Crew = Callable[[Iterator[Task], int], Iterator[Result]]


def crew(cluster: str | None, threads: int, choice: str, limits: Limits) -> Crew:
    """The crew for a run.

    Parameters: cluster, address of a Dask scheduler, or None for this machine; threads at once, 0 for twice the
    cores (a start waits more than it computes); choice of mode; limits of each kernel.
    """
    if cluster:
        return lambda tasks, total: on_cluster(cluster, tasks, choice, limits)
    count = threads or 2 * (os.cpu_count() or 1)
    if not 1 <= count <= 64:
        raise InputError(f"threads is {count}; allowed: 1 to 64")
    return lambda tasks, total: on_threads(count, tasks, total, choice, limits)


def batches(tasks: Iterator[Task], size: int) -> Iterator[list[Task]]:
    """The tasks in lists of a size, the last one shorter."""
    while batch := list(islice(tasks, size)):
        yield batch


def on_threads(threads: int, tasks: Iterator[Task], total: int, choice: str, limits: Limits) -> Iterator[Result]:
    """Results from this machine, as they are done."""
    size = max(1, min(BATCH, -(-total // threads)))
    pool, running, over = ThreadPoolExecutor(threads), set(), Event()
    try:
        for batch in batches(tasks, size):
            running.add(pool.submit(mark_batch, batch, choice, limits, over))
            if len(running) >= threads:
                done, running = wait(running, return_when=FIRST_COMPLETED)
                for future in done:
                    yield from future.result()
        for future in running:
            yield from future.result()
    except BaseException:
        over.set()
        _stop(running)
        raise
    finally:
        pool.shutdown(cancel_futures=True)


def _stop(running: set[Future]) -> None:
    """End the threads, which start no further engine: those that run, and one that was just about to start."""
    for future in running:
        future.cancel()
    while wait(running, timeout=BREATH).not_done:
        _stop_engines()


def _stop_engines() -> None:
    """End the engines that this process started."""
    for child in psutil.Process().children():
        try:
            child.kill()
        except psutil.NoSuchProcess:
            continue


def _connected(address: str):
    """Dask's module, and a client of a running cluster.

    Raises: InputError without Dask, without a scheduler, without workers.
    """
    try:
        from dask import distributed
    except ImportError:
        raise InputError("marking on a cluster needs Dask; type: pip install 'suspedu[cluster]'") from None
    try:
        client = distributed.Client(address, timeout=PATIENCE, set_as_default=False)
    except (OSError, ValueError, TimeoutError) as fault:
        raise InputError(f"no Dask scheduler answers at '{address}' ({type(fault).__name__}); is it running?") from None
    if not client.nthreads():
        client.close()
        raise InputError(f"the cluster at '{address}' has no workers; start some: dask worker {address}")
    return distributed, client


def cluster_modes(address: str, choice: str) -> dict[sandbox.Mode, int]:
    """How the workers of a cluster hold kernels, by their own account, and how many of them so.

    Raises: InputError where a worker cannot mark, with its reason.
    """
    _, client = _connected(address)
    with client:
        try:
            return dict(Counter(client.run(_worker_mode, choice).values()))
        except InputError as fault:
            raise InputError(f"a worker of the cluster at '{address}' refuses: {fault}") from None
        except Exception as fault:  # whatever it lacks
            raise InputError(f"a worker of the cluster at '{address}' cannot mark ({type(fault).__name__}: "
                             f"{str(fault)[:200]}); install the same course there") from None


def _worker_mode(choice: str) -> sandbox.Mode:
    sandbox.refuse_root()
    return sandbox.chosen_mode(choice)


def on_cluster(address: str, tasks: Iterator[Task], choice: str, limits: Limits) -> Iterator[Result]:
    """Results from a running Dask cluster; what a lost worker had in hand goes to another one."""
    distributed, client = _connected(address)
    with client:
        at_once = 4 * max(1, sum(client.nthreads().values()))
        waiting, stream = {}, distributed.as_completed(loop=client.loop)
        feed = batches(tasks, BATCH)
        for batch in islice(feed, at_once):
            _submit(client, stream, waiting, batch, choice, limits)
        for future in stream:
            yield from _gathered(client, stream, waiting, future, choice, limits)
            for batch in islice(feed, 1):
                _submit(client, stream, waiting, batch, choice, limits)


def _submit(client, stream, waiting: dict, batch: list[Task], choice: str, limits: Limits) -> None:
    future = client.submit(mark_batch, batch, choice, limits, pure=False)
    waiting[future.key] = batch
    stream.add(future)


def _gathered(client, stream, waiting: dict, future, choice: str, limits: Limits) -> list[Result]:
    """Results of a batch; of one that took several workers down, its tasks go out again one by one."""
    from dask.distributed import KilledWorker

    batch = waiting.pop(future.key)
    try:
        return future.result()
    except KilledWorker:
        if len(batch) == 1:
            return [_given_up(batch[0])]
        for task in batch:
            _submit(client, stream, waiting, [task], choice, limits)
        return []


def _given_up(task: Task) -> Result:
    rows = verdicts.rows(task.pristine, task.merged, {}, task.wanted)
    return Result(task.name, rows, ("it took down every machine that tried it",), "", versions())
