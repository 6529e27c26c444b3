"""Several searches at once, each in a process of its own: threads would wait for each other most of the time."""

from __future__ import annotations

import multiprocessing
import os
import queue
from collections.abc import Callable, Sequence
from concurrent.futures import Future, ProcessPoolExecutor

from suspedu.upgrade.frontier import BUDGET, Searched, search_frontier
from suspedu.upgrade.technologies import technology

LOOK = 0.2  # s between two looks at what the searches say
LONGEST_FIRST = ("open", "closed", "rod")

Told = Callable[[str, int, int], None] | None


def search_all(names: Sequence[str] = LONGEST_FIRST, *, budgets: dict[str, int] | None = None, seed: int = 1,
               progress: Told = None, cancel: Callable[[], bool] | None = None) -> dict[str, Searched]:
    """The frontiers of several technologies, on all cores.

    Parameters: names of technologies, the longest searches first; budgets, settings to ride, by name; seed;
    progress(name, done, budget), now and then; cancel, asked several times a second: True ends all searches, as Ctrl+C
    and the notebook's stop button do, and what they have found so far is the answer.
    Returns: searches by name.
    """
    spawn = multiprocessing.get_context("spawn")
    with spawn.Manager() as manager:
        said, stop = manager.Queue(), manager.Event()
        with ProcessPoolExecutor(min(len(names), os.cpu_count() or 1), spawn) as pool:
            jobs = {name: pool.submit(_search, name, (budgets or BUDGET)[name], seed, said, stop) for name in names}
            _watched(jobs, said, stop, progress, cancel)
            return {name: Searched(technology(name), *job.result()) for name, job in jobs.items()}


def _watched(jobs: dict[str, Future], said, stop, progress: Told, cancel: Callable[[], bool] | None) -> None:
    """Tell what the searches say until they are through, and stop them when asked."""
    try:
        while not all(job.done() for job in jobs.values()):
            if cancel is not None and cancel():
                stop.set()
            _tell(said, progress)
        _tell(said, progress, 0.0)
    except KeyboardInterrupt:
        stop.set()


def _tell(said, progress: Told, wait: float = LOOK) -> None:
    try:
        while True:
            told = said.get(timeout=wait) if wait else said.get_nowait()
            if progress:
                progress(*told)
            wait = 0.0
    except queue.Empty:
        return


def _search(name: str, budget: int, seed: int, said, stop) -> tuple:
    """One search, in a process of its own: what `Searched` keeps beside its technology."""
    def tell(done: int, total: int) -> None:
        if done % 20 == 0 or done == total:
            said.put((name, done, total))

    found = search_frontier(technology(name), budget=budget, seed=seed, progress=tell, cancel=stop.is_set)
    return found.days, found.stopped, found.fresh, found.beaten_by
