"""A filter of system calls for a kernel: what no exercise needs, and what breaks out of a cage begins with, is refused.

libseccomp knows the numbers of the calls on each kind of processor; nearly every Linux has it, packet managers use it.
"""

from __future__ import annotations

import ctypes
import errno
import sys
from functools import cache

# What stands here is told by the manual pages seccomp_rule_add(3), prctl(2) and clone(2) (printed, from memory).
LIBRARY = "libseccomp.so.2"
ALLOW, REFUSE = 0x7FFF0000, 0x00050000  # SCMP_ACT_ALLOW, SCMP_ACT_ERRNO
EQUAL, MASKED_EQUAL = 4, 7  # enum scmp_compare
REFUSED = (
    "mount", "umount2", "pivot_root", "chroot", "move_mount", "open_tree", "fsopen", "fsconfig", "fsmount", "fspick",
    "mount_setattr", "unshare", "setns", "ptrace", "process_vm_readv", "process_vm_writev", "kcmp", "pidfd_getfd",
    "bpf", "perf_event_open", "userfaultfd", "keyctl", "add_key", "request_key", "kexec_load", "kexec_file_load",
    "init_module", "finit_module", "delete_module", "io_uring_setup", "io_uring_enter", "io_uring_register",
    "name_to_handle_at", "open_by_handle_at", "fanotify_init", "swapon", "swapoff", "acct", "reboot", "syslog",
    "quotactl", "settimeofday", "clock_settime", "clock_adjtime", "adjtimex", "sethostname", "setdomainname", "iopl",
    "ioperm", "personality", "lookup_dcookie", "vhangup", "nfsservctl",
    # memory that lies in no process and no folder, where no watch adds it up
    "memfd_create", "memfd_secret", "shmget", "msgget", "semget", "mq_open",
)
NEW_SPACES = (0x00020000, 0x02000000, 0x04000000, 0x08000000, 0x10000000, 0x20000000, 0x40000000)
CAPABILITY_VERSION = 0x20080522  # _LINUX_CAPABILITY_VERSION_3
KEPT = (1, 4)  # prctl: PR_SET_PDEATHSIG and PR_SET_DUMPABLE stay as they are


class _Compare(ctypes.Structure):
    """struct scmp_arg_cmp: a condition on one argument of a call."""

    _fields_ = (("arg", ctypes.c_uint), ("op", ctypes.c_int), ("a", ctypes.c_uint64), ("b", ctypes.c_uint64))


@cache
def library() -> ctypes.CDLL | None:
    """libseccomp, or None where there is none."""
    if sys.platform != "linux":
        return None
    try:
        found = ctypes.CDLL(LIBRARY)
    except OSError:
        return None
    found.seccomp_init.restype = ctypes.c_void_p
    return found


def hold_calls() -> bool:
    """Refuse this process and all that it starts the calls of `REFUSED`; whether the filter holds."""
    if (lib := library()) is None:
        return False
    rules = ctypes.c_void_p(lib.seccomp_init(ctypes.c_uint32(ALLOW)))
    if not rules:
        return False
    for name in REFUSED:
        _refuse(lib, rules, name)
    for flag in NEW_SPACES:  # CLONE_NEWNS, NEWCGROUP, NEWUTS ... NEWNET: spaces of names of its own
        _refuse(lib, rules, "clone", where=_Compare(0, MASKED_EQUAL, flag, flag))
    _refuse(lib, rules, "clone3", errno.ENOSYS)  # its flags lie in memory, which no filter reads: clone is used instead
    for option in KEPT:
        _refuse(lib, rules, "prctl", where=_Compare(0, EQUAL, option, 0))
    held = lib.seccomp_load(rules) == 0
    lib.seccomp_release(rules)
    return held


def drop_rights() -> None:
    """Give up what root may beside reading and writing its own files: devices, priorities, packets (capset(2))."""
    if sys.platform == "linux":
        header, none = (ctypes.c_uint32 * 2)(CAPABILITY_VERSION, 0), (ctypes.c_uint32 * 6)()
        ctypes.CDLL(None).capset(header, none)


def _refuse(lib: ctypes.CDLL, rules: ctypes.c_void_p, name: str, error: int = errno.EPERM,
            where: _Compare | None = None) -> None:
    """One rule; a call that this processor does not have needs none."""
    number = lib.seccomp_syscall_resolve_name(name.encode())
    conditions = (_Compare * 1)(where) if where else None
    if number >= 0:
        lib.seccomp_rule_add_array(rules, ctypes.c_uint32(REFUSE | error), number, int(bool(where)), conditions)
