"""Ways out of a cage that answers try one after the other in one kernel; its error names what got through.

Each is harmless where it gets through: a system call has empty arguments, a file that is written to is removed.
"""

from make_returns import code

REFUSED = """mount umount2 pivot_root chroot move_mount open_tree fsopen fsconfig fsmount fspick mount_setattr unshare
    setns ptrace process_vm_readv process_vm_writev kcmp pidfd_getfd bpf perf_event_open userfaultfd keyctl add_key
    request_key kexec_load kexec_file_load init_module finit_module delete_module io_uring_setup name_to_handle_at
    open_by_handle_at fanotify_init swapon swapoff acct syslog quotactl settimeofday clock_settime sethostname
    setdomainname personality memfd_create memfd_secret shmget msgget semget mq_open clone3"""
CALLS = f"""
import ctypes, errno, os, sys
libc, names = ctypes.CDLL(None, use_errno=True), ctypes.CDLL('libseccomp.so.2')
through, tried = [], 0
for name in {REFUSED!r}.split():
    number, tried = names.seccomp_syscall_resolve_name(name.encode()), tried + 1
    done = libc.syscall(number, 0, 0, 0, 0, 0) if number >= 0 else -1
    if number >= 0 and (done >= 0 or ctypes.get_errno() not in (errno.EPERM, errno.ENOSYS)):
        through.append(name)
for name, given in {{'a new user space': (0x10000000 | 17,), 'a new net': (0x40000000 | 17,)}}.items():
    tried += 1
    if (child := libc.syscall(names.seccomp_syscall_resolve_name(b'clone'), *given, 0, 0, 0, 0)) == 0:
        os._exit(0)
    through += [name] if child > 0 else []
for name, given in {{'no longer dies with its parent': (1, 0), 'hides its files': (4, 0)}}.items():
    tried += 1
    through += [name] if libc.prctl(*given, 0, 0, 0) == 0 else []
"""
FILES = """
sockets = os.path.dirname(sys.argv[sys.argv.index('-f') + 1])
def written(path):
    with open(path, 'a') as file:
        file.write('x')
    os.remove(path)
ways = {
    'a file beside the sockets': lambda: written(sockets + '/x'),
    'a folder beside the sockets': lambda: os.mkdir(sockets + '/folder'),
    'a link beside the sockets': lambda: os.symlink('/etc', sockets + '/link'),
    'a pipe beside the sockets': lambda: os.mkfifo(sockets + '/pipe'),
    'another key of its own': lambda: open(sockets + '/connection.json', 'w'),
    'shared memory': lambda: written('/dev/shm/x'),
    'a device': lambda: os.mknod('device', 0o60600, os.makedev(254, 0)),
    'memory of the machine': lambda: open('/dev/mem', 'rb').read(1),
    'words of the kernel': lambda: open('/dev/kmsg', 'rb').read(1),
    'a file of the system': lambda: written('/etc/x'),
    'a file at the top': lambda: written('/x'),
    'a setting of the kernel': lambda: open('/proc/sys/vm/overcommit_memory', 'r+').write('1'),
    'its place when memory is short': lambda: open('/proc/self/oom_score_adj', 'w').write('-1000'),
    'its map of users': lambda: open('/proc/self/uid_map', 'w').write('0 0 1'),
    'a control group': lambda: os.mkdir('/sys/fs/cgroup/mine'),
    'the library': lambda: open(os.__file__, 'a'),
    'more memory than its limit': lambda: resource.setrlimit(resource.RLIMIT_AS, (1 << 50, 1 << 50)),
    'more time than its limit': lambda: resource.setrlimit(resource.RLIMIT_CPU, (9999, 9999)),
    'a file larger than its limit': lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (1 << 40, 1 << 40)),
    'another before others': lambda: os.nice(-5),
    'a place in real time': lambda: os.sched_setscheduler(0, os.SCHED_FIFO, os.sched_param(1)),
    'another group of users': lambda: os.setgroups([0, 1]),
    'raw packets': lambda: socket.socket(socket.AF_INET, socket.SOCK_RAW, 1),
    'frames of the sockets': lambda: socket.socket(socket.AF_PACKET, socket.SOCK_RAW, 3),
    'a name of the outside': lambda: socket.create_connection(('192.0.2.1', 80), timeout=1),
    'the solution': lambda: open('<solution>').read(),
    'the secret': lambda: open('<secret>').read(),
    'the record': lambda: open('<record>', 'rb').read(1),
    "another's copy": lambda: open('<other>').read(),
    'plans and expected prints': lambda: [open(path).read(1) for path in glob.glob('<tmp>/suspedu-*/*')][0],
    'sockets of other kernels': lambda: [os.listdir(path) for path in glob.glob('/dev/shm/suspedu-wires-*/*')
                                         if path != sockets][0],
}
import glob, resource, socket
for name, way in ways.items():
    tried += 1
    try:
        way()
    except Exception:
        continue
    through.append(name)
"""
SAID = "raise LookupError(f'{len(through)} of {tried} got through: {through}')"
NONE_THROUGH = "LookupError: 0 of "
ATTEMPTS = len(REFUSED.split()) + FILES.count("lambda:") + 4  # names, ways, two clones, two of prctl

ESCAPING = [
    code("system calls and files out of reach", CALLS + FILES + SAID, hint=f"{NONE_THROUGH}{ATTEMPTS} got through: []"),
    code("files without end and without content", "k = 0\nwhile True:\n    open(f'f{k}', 'w').close()\n    k += 1",
         hint="stopped because it made more than"),
    code("sockets without end", "import os, socket, sys\nwire = os.path.dirname(sys.argv[sys.argv.index('-f') + 1])\n"
         "k = 0\nwhile True:\n    s = socket.socket(socket.AF_UNIX)\n    s.bind(f'{wire}/{k}')\n    s.close()\n"
         "    k += 1",
         hint="stopped because it made more than"),
    code("folders in each other", "import os\nfor k in range(1300):\n    os.mkdir('a' * 20)\n    os.chdir('a' * 20)\n"
         "rate = 1"),
    code("deleted files held open", "import os\nheld = []\nfor k in range(40):\n    held.append(open(f'f{k}', 'wb'))\n"
         "    os.remove(f'f{k}')\n    held[-1].write(b'x' * 7_000_000)\n    held[-1].flush()", hint="OSError"),
    code("memory shared with children", "import mmap, os, time\nheld = mmap.mmap(-1, 1 << 30)\n"
         "for k in range(0, 1 << 30, 4096):\n    held[k] = 1\ntime.sleep(60)", hint="MB of memory"),
]

FORGING_TOO = [
    code("a trace that changes values", "import sys\ndef look(frame, event, given):\n"
         "    frame.f_globals['rate'] = 4912.5\n"
         "    return look\nsys.settrace(look)\nrate = 1"),
    code("a class that says it is another", "class Rate(float):\n    __class__ = str\nrate = Rate(1)"),
    code("a formatter for all numbers", "import builtins\nbuiltins.format = lambda *a: '4.9'\nrate = 1"),
    code("streams of its own", "import sys, io\nclass Sink(io.StringIO):\n    def write(self, words):\n"
         "        return sys.__stdout__.write('4.9 N/mm')\nsys.stdout = Sink()\nrate = 1", q2=0, q3=0),
    code("a message of its own for each print", "from ipykernel.iostream import OutStream\nold = OutStream.write\n"
         "OutStream.write = lambda self, words: old(self, words.replace('0.001', '4.9'))\nrate = 1"),
    code("sockets that send something else", "import zmq\nold = zmq.Socket.send_multipart\n"
         "zmq.Socket.send_multipart = lambda self, parts, *a, **k: old(self, [part.replace(b'N/mm', b'4.9 N/mm') "
         "if isinstance(part, bytes) else part for part in parts], *a, **k)\nrate = 1"),
    code("practice numbers put back", "wire, turns = 4.5, 9.0\n"
         "rate = 79.3e9 * (wire / 1000) ** 4 / (8 * 0.033**3 * turns)", q2=0),
    code("a name that is a property of all", "import types\nclass Mine(types.ModuleType):\n    @property\n"
         "    def rate(self):\n        return 4912.5\nimport sys\nsys.modules['__main__'].__class__ = Mine\nrate = 1"),
]
