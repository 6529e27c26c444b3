"""What runs first in a confined kernel: takes the limits, then becomes an ordinary kernel.

Called as `python -m suspedu.coursework.running.kernel_start LIMITS COUNT_PROCESSES -f CONNECTION_FILE`.
"""

from __future__ import annotations

import ctypes
import signal
import sys

from suspedu.coursework.running.limits import from_text, hold_this_process

SET_PDEATHSIG, SET_NO_NEW_PRIVS = 1, 38  # prctl(2), linux/prctl.h


def die_with_parent() -> None:
    """Ask Linux to kill this process when its parent dies, and to grant it no new privileges."""
    if sys.platform == "linux":
        prctl = ctypes.CDLL(None).prctl
        prctl(SET_PDEATHSIG, signal.SIGKILL, 0, 0, 0)
        prctl(SET_NO_NEW_PRIVS, 1, 0, 0, 0)


def main() -> None:
    """Take the limits and start the kernel."""
    limits, count = sys.argv[1], sys.argv[2] == "1"
    del sys.argv[1:3]
    die_with_parent()
    hold_this_process(from_text(limits), count)
    from ipykernel.kernelapp import IPKernelApp  # after the limits, so that they hold its threads too

    IPKernelApp.launch_instance()


if __name__ == "__main__":
    main()
