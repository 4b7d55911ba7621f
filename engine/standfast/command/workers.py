"""Work shared out to processes, the results in the order of the work, whatever becomes of a process.

No more batches than `_AHEAD` a process are taken from the work before their results are. Where a process breaks
down, what was under way is done again, item by item, so that the one that broke it is known: it gets what `broken`
says of it. Where none can be started (files or processes are limited), the work is done here.

A process begins as a copy of this one where that is safe, which takes a hundredth of the time that a new one takes
to load what it needs: on Linux, as long as no other thread is running here.
"""

import os
import signal
import sys
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import active_children, get_context, parent_process
from typing import Generic, TypeVar

from standfast.values import define, field

_AHEAD = 4
Item = TypeVar("Item")
Result = TypeVar("Result")


@define
class Workers(Generic[Item, Result]):
    """`work` is a function of a module that does a batch, as `begin` is, which is called once in each process with
    the `setting`.
    """

    jobs: int
    begin: Callable[..., None]
    setting: tuple[object, ...]
    work: Callable[[tuple[Item, ...]], Result]
    broken: Callable[[Item], Result]
    _pool: ProcessPoolExecutor | None = None
    _under_way: deque[tuple[tuple[Item, ...], Future[Result]]] = field(factory=deque)

    def results(self, batches: Iterable[tuple[Item, ...]]) -> Iterator[Result]:
        self._renew()
        try:
            for batch in batches:
                self._under_way.append((batch, self._give(batch)))
                if len(self._under_way) >= self.jobs * _AHEAD:
                    yield from self._first()
            while self._under_way:
                yield from self._first()
        finally:
            self._close()

    def _first(self) -> Iterator[Result]:
        """The result of the first batch; of each item that is under way if a process broke down."""
        batch, future = self._under_way.popleft()
        try:
            yield future.result()
            return
        except BrokenProcessPool:
            items = [*batch, *(item for each, _ in self._under_way for item in each)]
            self._under_way.clear()
        self._renew()
        for item in items:
            yield self._alone(item)

    def _alone(self, item: Item) -> Result:
        try:
            return self._give((item,)).result()
        except BrokenProcessPool:
            self._renew()
            return self.broken(item)

    def _give(self, batch: tuple[Item, ...]) -> Future[Result]:
        given: Future[Result] = Future()
        if self._pool is not None:
            try:
                return self._pool.submit(self.work, batch)
            except BrokenProcessPool as error:  # told by an earlier batch too
                given.set_exception(error)
                return given
            except OSError:  # no process could be started
                self._do_here()
        given.set_result(self.work(batch))
        return given

    def _do_here(self) -> None:
        """From now on, what was given out and is not done included."""
        self._close()
        self._pool = None
        for process in active_children():  # one that was started before another could not be knows of no end
            process.kill()
            process.join()
        self.begin(*self.setting)
        for place, (batch, future) in enumerate(self._under_way):
            if future.cancelled():
                self._under_way[place] = batch, self._give(batch)

    def _renew(self) -> None:
        self._close()
        alone = sys.platform == "linux" and threading.active_count() == 1
        context = get_context("fork" if alone else "spawn")
        try:
            self._pool = ProcessPoolExecutor(self.jobs, context, _begin, (self.begin, self.setting))
        except OSError:
            self._do_here()

    def _close(self) -> None:
        if self._pool is not None:
            self._pool.shutdown(wait=True, cancel_futures=True)


def _begin(begin: Callable[..., None], setting: tuple[object, ...]) -> None:
    """What is pressed on the keyboard goes to the process that gives out the work, and not to each."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_the_first, daemon=True).start()
    begin(*setting)


def _end_with_the_first() -> None:
    """Else a process would wait for work for ever when the one that gives it out is ended from outside."""
    first = parent_process()
    assert first is not None
    first.join()
    os._exit(1)
