"""Held kernels, and the pytest plugin that watches them: what a launcher of `confinement` brings into the engine."""

from __future__ import annotations

import contextlib

from jupyter_client.kernelspec import KernelSpec, KernelSpecManager

from suspedu.coursework.running import kernel
from suspedu.coursework.running.groups import new_group
from suspedu.coursework.running.kernel_start import die_with_parent
from suspedu.coursework.running.watch import Watch, adopt_orphans, kill_leftovers

# What its control group allows a kernel for each process, and for each byte, that the watch does: threads count as
# tasks there, and the watch must still see too many processes and too much memory, to say so.
TASKS, MEMORY = 4, 1.25


class _Interruptible(KernelSpecManager):
    """The same kernel, interrupted by a message: a signal would end the sandbox and not the cell."""

    def get_kernel_spec(self, kernel_name):
        return KernelSpec(argv=self.command, language="python", display_name="held", interrupt_mode="message")


class HeldKernel(kernel.BoundedKernel):
    """A bounded kernel with a watch over it; nothing that it started outlives it."""

    watch = None

    def _start(self, specs, transport, spots, environment):
        if transport == "ipc":
            command, specs = specs.command, _Interruptible()
            specs.command = command
        name, limits = spots["work"].name, self.limits
        with new_group(name, pids=TASKS * limits.processes, memory=int(MEMORY * limits.resident)) as group:
            super()._start(specs, transport, spots, environment)
        self.watch = Watch(self.pid, tuple(spots.values()), limits, self.unseen, group)

    def get_message(self, stream, timeout=None):
        """The next message; where the watch stopped the kernel, its reason."""
        if self.watch and self.watch.is_dead:
            self.stop()
        try:
            return super().get_message(stream, timeout)
        except kernel.KernelDiedError as fault:
            raise type(fault)(self.watch.reason if self.watch else str(fault)) from None

    def stop(self) -> None:
        """End the kernel and everything that came of it, even what left its process group."""
        if self.watch:
            self.watch.stop()
        super().stop()
        if self.watch:
            kill_leftovers(self.watch.since)


class _Plugin:
    """Writes into the log why a kernel was stopped, and clears away dead kernels that nbval forgets."""

    def pytest_runtest_teardown(self, item, nextitem):
        held = item.parent.kernel
        if held is None or (nextitem is not None and nextitem.parent is item.parent):
            return
        if reason := held.watch and held.watch.reason:
            log = item.config.pluginmanager.get_plugin("suspedu-cells")
            log.write({"job": item.parent.job, "stopped": reason})
        with contextlib.suppress(RuntimeError):
            held.stop()


def pytest_configure(config):
    """Give the runner's notebooks held kernels, and this process every orphan they leave."""
    die_with_parent()
    adopt_orphans()
    kernel.BoundedKernel = HeldKernel
    config.pluginmanager.register(_Plugin(), "suspedu-held")
