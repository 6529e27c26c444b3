"""nbval's kernel, started our way and held to bounds: what it sends, how long it takes, when it dies."""

from __future__ import annotations

import contextlib
import subprocess
from pathlib import Path
from queue import Empty

import zmq
from jupyter_client.kernelspec import KernelSpec, KernelSpecManager
from jupyter_client.manager import KernelManager
from nbval.kernel import RunningKernel

from suspedu.coursework.running.limits import Limits
from suspedu.coursework.running.meter import Meter, Patience
from suspedu.coursework.running.processes import kill_group

SLICE = 0.2  # s between two looks whether a silent kernel still lives
KNOCK = 10  # ms between two tries to reach a kernel that has not opened its sockets yet
WAITING = 64  # messages that wait outside to be read; more wait on the kernel's side, in its memory
START_SECONDS = 60.0  # charged s; a start computes for a second


class KernelDiedError(RuntimeError):
    """The kernel process ended while a cell ran."""


class OutputFloodError(RuntimeError):
    """A cell sent more output than a notebook may hold."""


class CellOverrunError(RuntimeError):
    """A cell ran past its time and could not be interrupted."""


class _OneSpec(KernelSpecManager):
    """A kernel list of one: the command that the launcher gave, whatever a notebook asks for."""

    def get_kernel_spec(self, kernel_name):
        return KernelSpec(argv=self.command, language="python", display_name="course")


class BoundedKernel(RunningKernel):
    """A kernel of nbval in its own empty folder, with limits on time and output per cell."""

    def __init__(self, launch: dict, limits: Limits, work: Path, wire: Path):
        self.limits, self.unseen = limits, launch["unseen"]
        spots = {"wire": wire, "work": work}
        for folder in spots.values():
            folder.mkdir(mode=0o700, parents=True)
        filled = {f"{{{name}}}": str(folder) for name, folder in spots.items()}
        specs = _OneSpec()
        specs.command = [_filled(part, filled) for part in launch["argv"]]
        environment = {name: _filled(value, filled) for name, value in launch["environment"].items()}
        self._start(specs, launch["transport"], spots, environment)
        self.begin_cell()

    def _start(self, specs, transport: str, spots: dict, environment: dict) -> None:
        self.km = KernelManager(kernel_spec_manager=specs, transport=transport)
        self.km.connection_file = str(spots["wire"] / "connection.json")
        if transport == "ipc":
            self.km.ip = str(spots["wire"] / "socket")
        self.km.start_kernel(cwd=str(spots["work"]), env=environment, stdout=subprocess.DEVNULL,
                             stderr=subprocess.DEVNULL)
        self.pid = self.km.provisioner.process.pid
        self.meter = Meter(self.pid)
        self.context = zmq.Context()
        self.context.setsockopt(zmq.MAXMSGSIZE, int(self.limits.message))
        self.context.setsockopt(zmq.RCVHWM, WAITING)
        self.context.setsockopt(zmq.RECONNECT_IVL, KNOCK)
        self.kc = self.km.client(context=self.context)
        self.kc.start_channels()
        self._await_start()

    def _await_start(self) -> None:
        """Wait until the kernel answers; one that ended or does not come to it within its time is stopped.

        The client's own way to wait ends with a silence of a fifth of a second, in each kernel of a class.
        """
        self.sent_bytes, self.sent_messages = 0, 0
        self.patience = Patience(self.meter, START_SECONDS)
        try:
            while not self._answers():
                if self.patience.is_over():
                    raise RuntimeError("it does not answer")
        except RuntimeError as fault:
            self.stop()
            raise RuntimeError(f"the kernel did not start: {fault}") from None

    def _answers(self) -> bool:
        """Whether the kernel answers a question on both channels; what it had to say before is dropped."""
        asked = self.kc.kernel_info()
        try:
            self.await_reply(asked, timeout=1.0)
            self.await_idle(asked, timeout=1.0)
        except Empty:
            return False
        return True

    def begin_cell(self) -> None:
        """Count output and time of the next cell from zero."""
        self.sent_bytes, self.sent_messages = 0, 0
        self.meter.restart()
        self.patience = Patience(self.meter, self.limits.cell_seconds + 2 * self.limits.silent_seconds)

    def get_message(self, stream, timeout=None):
        """The next message of a channel; a dead kernel or a flood ends the wait at once.

        Parameters: stream, "shell" or "iopub"; timeout, in charged seconds [s].
        """
        patience = Patience(self.meter, timeout or 0.0)
        while True:
            try:
                message = self._next(stream, min(SLICE, patience.seconds))
            except Empty:
                if not self.is_alive():
                    raise KernelDiedError("the kernel died") from None
                if patience.is_over():
                    raise
            except ValueError:  # a signature that is not ours: whatever runs there is no longer the kernel we started
                self.stop()
                raise KernelDiedError("the kernel speaks with another key") from None
            else:
                self._count(stream, message)
                return message

    def _next(self, stream: str, timeout: float) -> dict:
        """The next message as it comes: nbval's own way writes each out in full for a log that nobody keeps."""
        channel = self.kc.get_shell_msg if stream == "shell" else self.kc.get_iopub_msg
        return channel(timeout=timeout)

    def _count(self, stream: str, message: dict) -> None:
        self.sent_messages += stream == "iopub"
        self.sent_bytes += len(repr(message["content"])) if stream == "iopub" else 0
        if self.sent_bytes > self.limits.cell_bytes or self.sent_messages > self.limits.cell_messages:
            self.stop()
            raise OutputFloodError("too much output")
        if self.patience.is_over():
            self.stop()
            raise CellOverrunError("out of time")
        if _ends_itself(message):
            self.stop()
            raise KernelDiedError("the kernel ended itself")

    def stop(self) -> None:
        """End the kernel and everything that it started in its process group."""
        if not hasattr(self, "km"):
            return
        with contextlib.suppress(RuntimeError):
            super().stop()
        kill_group(self.pid)
        self.context.destroy(linger=0)


def _ends_itself(message: dict) -> bool:
    """Whether a cell called `exit()`: its kernel lives on for a moment and would die in some later cell."""
    return any(part.get("source") == "ask_exit" and not part.get("keepkernel")
               for part in message["content"].get("payload") or [] if isinstance(part, dict))


def _filled(text: str, places: dict[str, str]) -> str:
    for name, value in places.items():
        text = text.replace(name, value)
    return text
