"""What runs first in a kernel: takes the limits, where it is to be confined, then becomes an ordinary kernel.

Called as `python -m suspedu.coursework.running.kernel_start LIMITS COUNT_PROCESSES PLACES -f CONNECTION_FILE`, or with
`free` in place of the first three for our own notebooks.
"""

from __future__ import annotations

import ctypes
import json
import signal
import sys

from suspedu.coursework.running.calls import drop_rights, hold_calls
from suspedu.coursework.running.limits import from_text, hold_this_process
from suspedu.coursework.running.walls import Places, hold_places

FREE = "free"
SET_PDEATHSIG, SET_NO_NEW_PRIVS = 1, 38  # prctl(2), linux/prctl.h


def die_with_parent() -> None:
    """Ask Linux to kill this process when its parent dies, and to grant it no new privileges."""
    if sys.platform == "linux":
        prctl = ctypes.CDLL(None).prctl
        prctl(SET_PDEATHSIG, signal.SIGKILL, 0, 0, 0)
        prctl(SET_NO_NEW_PRIVS, 1, 0, 0, 0)


def take_hold(places: Places) -> None:
    """Put this process, and all that it starts, behind walls and a filter of calls; what a system has not, holds not.

    `holds` tries out which of it holds.
    """
    die_with_parent()
    hold_places(places)
    drop_rights()
    hold_calls()


def main() -> None:
    """Take the limits and start the kernel."""
    limits = sys.argv.pop(1)
    if limits != FREE:
        count, places = sys.argv.pop(1) == "1", sys.argv.pop(1)
        hold_this_process(from_text(limits), count)
        take_hold(Places(**json.loads(places)))
    sys.modules.setdefault("debugpy", None)  # nobody debugs here, and it is a fifth of a kernel's start
    kernel_app().launch_instance()


def kernel_app():
    """The ordinary kernel, but that what it says waits for a slow reader, in its own memory, and is never dropped.

    A mark may not hang on how busy the machine is: a flood of which a part is lost would pass for less than it is.
    """
    import zmq  # after the limits, so that they hold its threads too
    from ipykernel.kernelapp import IPKernelApp

    class PatientKernelApp(IPKernelApp):
        def init_iopub(self, context):
            context.setsockopt(zmq.SNDHWM, 0)  # of the sockets made from here on; a publisher's own is 1000 messages
            super().init_iopub(context)

    return PatientKernelApp


if __name__ == "__main__":
    main()
