"""Kinds of returns whose answers are code that misbehaves: in the sandbox it hurts nobody and earns nothing."""

from kinds_escape import ESCAPING, FORGING_TOO
from make_returns import FULL, RATE, Kind, code, mild, packed

NONE = {"q1": 0, "q2": 0, "q3": 0}
FORGED = "print('4.9 N/mm')"
SHELL = "import IPython\nshell = IPython.get_ipython()\n"
FORK = "import os\nif os.fork() == 0:\n    os.setsid()\n    if os.fork() == 0:\n"


EXHAUSTING = [  # what runs out: memory, time, output, processes, files
    code("endless loop", "while True:\n    pass", hint="out of time"),
    code("endless loop, deaf", "import signal\nsignal.signal(2, signal.SIG_IGN)\nwhile True:\n    pass", hint="time"),
    code("endless print", "while True:\n    print('x' * 1000)", hint="time"),
    code("one huge print", "print('x' * 10**8)", hint="print"),
    code("flood of displays", "for k in range(10**6):\n    display(k)", hint="printed"),
    code("flood on stderr", "import sys\nwhile True:\n    sys.stderr.write('x' * 1000)", hint="time"),
    code("fork storm", "import os\nwhile True:\n    os.fork()", hint="stopped because"),
    code("thread storm", "import threading, time\nwhile True:\n    threading.Thread(target=time.sleep, "
         "args=(99,)).start()", hint="thread"),
    code("subprocess storm", "import subprocess, sys\nfor k in range(500):\n    subprocess.Popen([sys.executable, "
         "'-c', 'while True: pass'])"),
    code("memory hog", "hog = []\nwhile True:\n    hog.append(bytes(range(256)) * 10**5)"),
    code("memory in one go", "import numpy\nhog = numpy.ones(10**10)"),
    code("memory by children", "import os\nfor k in range(8):\n    if os.fork() == 0:\n"
         "        hog = b'x' * (400 << 20)\n        import time\n        time.sleep(60)\nimport time\n"
         "time.sleep(60)", hint="memory"),
    code("one large file", "with open('big', 'wb') as file:\n    while True:\n        file.write(b'x' * 10**6)"),
    code("many files", "for k in range(10**5):\n"
         "    with open(f'f{k}', 'wb') as file:\n        file.write(b'x' * 10**6)"),
]

DEADLY = [  # the kernel ends, at once or later
    code("killed kernel", "import os, signal\nos.kill(os.getpid(), signal.SIGKILL)", hint="ended"),
    code("os._exit", "import os\nos._exit(0)", hint="ended"),
    code("process group", "import os\nos.killpg(0, 9)", hint="ended"),
    code("segmentation fault", "import ctypes\nctypes.string_at(0)", hint="ended"),
    code("sys.exit", "import sys\nsys.exit('done')"),
    code("shutdown by the kernel", SHELL + "shell.kernel.do_shutdown(False)\nimport time\ntime.sleep(60)"),
    code("exit of the shell", SHELL + "shell.ask_exit()\nexit()\nimport time\ntime.sleep(9)"),
    code("killed at the verdict", "class Rate:\n    def __truediv__(self, other):\n        import os\n"
         "        os._exit(1)\nrate = Rate()", hint="ended"),
    code("killed in a function", "def spring_force(stroke):\n    import os\n    os._exit(1)", attacked="q2",
         hint="ended"),
    code("killed a little later", "import os, threading\nrate = 0\nthreading.Timer(0.0, os._exit, (1,)).start()"),
    code("two killers", "import os\nos._exit(1)", q3=1),
]

REACHING = [  # for what lies outside, and for what the kernel itself does not offer
    mild("endless recursion", "def f(x):\n    return f(x)\nrate = f(1)"),
    code("deep attributes", "rate" + ".real" * 900 + " = ..."),
    code("half a surrogate pair", "class Half(float):\n    def __format__(self, how):\n        return chr(0xd800)\n"
         "rate = Half(1)"),
    code("deep data", "x = []\nfor k in range(10**6):\n    x = [x]\nprint(x)\nrate = 0"),
    mild("asks for input", "rate = float(input('rate?'))", hint="input"),
    mild("sockets", "import socket\nsocket.create_connection(('127.0.0.1', <port>), timeout=2).send(b'got out')\n"
         "<right>", hint="rror"),
    mild("network by name", "import urllib.request\nurllib.request.urlopen('http://example.org', timeout=2)\n<right>"),
    mild("kernel settings", "open('/proc/sys/kernel/core_pattern', 'w').write('core')\n<right>", hint="Read-only"),
    mild("spared by the kernel", "open('/proc/self/oom_score_adj', 'w').write('-1000')\n<right>", hint="Read-only"),
    mild("a user namespace of its own", "import ctypes\nassert ctypes.CDLL(None).unshare(0x10000000) == 0\n<right>",
         hint="AssertionError"),
    mild("reads the solution", "print(open('<solution>').read())\n<right>", hint="No such file"),
    mild("looks for solutions", "from pathlib import Path\nassert [*Path('<repository>').rglob('90*')]\n<right>"),
    mild("reads the secret", "print(open('<secret>').read())\n<right>", hint="No such file"),
    mild("reads the record", "import sqlite3\nsqlite3.connect('file:<record>?mode=ro', uri=True).execute('select * "
         "from student')\n<right>", hint="unable to open"),
    mild("reads another's file", "print(open('<other>').read())\n<right>", hint="No such file"),
    mild("reads the engine's plan", "from pathlib import Path\nassert [*Path('<tmp>').glob('suspedu-*/plan*')]\n"
         "<right>"),
    mild("reads the engine's memory", "import os\nassert sum(map(str.isdigit, os.listdir('/proc'))) > 9\n<right>"),
    mild("writes the record", "open('<record>', 'wb').write(b'')\n<right>"),
    mild("writes outside", "open('<outside>', 'w').write('was here')\n<right>"),
    mild("writes into the library", "import suspedu.units as u\nopen(u.__file__, 'a').write('# was here')\n<right>",
         hint="Error: [Errno"),  # read-only for root, whose files they are; not permitted for anybody else
    code("kills its parents", "import os, signal\nfor pid in range(1, 99999):\n    try:\n        os.kill(pid, 9)\n"
         "    except OSError:\n        pass\n"),
    code("outlives the run", FORK + "        import time\n        while True:\n            time.sleep(0.1)\n"
         "            open('<heartbeat>', 'a').write('x')\nrate = 0"),
]

FORGING = [  # what is printed, shown or sent
    code("rebinds print", "def print(*words):\n    import builtins\n    builtins.print('4.9 N/mm')", **NONE),
    code("rebinds print for all", "import builtins\nold = builtins.print\nbuiltins.print = lambda *w: old('right')\n"
         "rate = 1", **NONE),
    code("value that formats itself", "class Rate(float):\n    def __truediv__(self, other):\n        return self\n"
         "    def __format__(self, spec):\n        return '4.9'\nrate = Rate(1)"),
    code("value equal to everything", "class Any(str):\n    def __eq__(self, other):\n        return True\n"
         "    __hash__ = str.__hash__\n    def strip(self):\n        return self\n"
         "    def lower(self):\n        return self\n"
         "choice = Any('x')", attacked="q3"),
    code("rebinds numpy", "import numpy\nnumpy.float64 = numpy.array = numpy.round = lambda *a, **k: 4.9\nrate = 1"),
    code("rebinds the library", "import suspedu.units\nsuspedu.units.to_si = lambda *a: 0\nsuspedu.units.InputError = "
         "str\nrate = 1"),
    code("rebinds str", "import builtins\nbuiltins.str = lambda *a: 'b'\nchoice = 'a'", attacked="q3"),
    code("display hook", "import sys\nsys.displayhook = lambda *a: None\nsys.stdout.write = lambda *a: None\nrate = 1"),
    code("display publisher", SHELL + "shell.display_pub.publish = lambda *a, **k: None\n"
         "shell.display_formatter.format = lambda *a, **k: ({'text/plain': '4.9 N/mm'}, {})\nrate = 1"),
    code("messages of the kernel", SHELL + "session = shell.kernel.session\nold = session.send\n"
         "def send(stream, kind, *a, **k):\n    if isinstance(kind, dict) and 'text' in kind['content']:\n"
         "        kind['content']['text'] = '4.9 N/mm\\n'\n    return old(stream, kind, *a, **k)\n"
         "session.send = send\nrate = 1", **NONE),
    code("forged idle", SHELL + "kernel = shell.kernel\nfor k in range(50):\n"
         "    kernel.session.send(kernel.iopub_socket, "
         "'status', {'execution_state': 'idle'}, parent=kernel.get_parent(), ident=b'status')\nrate = 1"),
    code("one message of very many frames", SHELL + "import zmq\nsocket = shell.kernel.iopub_thread.socket\n"
         "socket.send_multipart([b'x' * 200_000] * 9_000, copy=False)\nrate = 1"),
    code("badly signed messages", SHELL + "shell.kernel.session.key = b'wrong'\nrate = 1", hint="ended"),
    code("input transformer", SHELL + f"shell.input_transformers_cleanup.append(lambda lines: [{FORGED!r}])", **NONE),
    code("syntax transformer", SHELL + "import ast\nclass Forge(ast.NodeTransformer):\n"
         "    def visit_Expr(self, node):\n"
         f"        return ast.parse({FORGED!r}).body[0]\nshell.ast_transformers.append(Forge())", **NONE),
    code("compiler", "import builtins\nold = builtins.compile\nbuiltins.compile = lambda source, *a, **k: "
         "old('print(1)', *a, **k)\nrate = 1", **NONE),
    code("run of cells", SHELL + "shell.run_cell = shell.run_cell_async = lambda *a, **k: None\nrate = 1", **NONE),
    # What it prints before each verdict is passed over, as prints of one's own are: right answers keep their marks.
    code("pre-run hook", SHELL + f"shell.events.register('pre_run_cell', lambda info: {FORGED})\nrate = 1"),
]

ODD = [  # as answers
    code("garbage of finalisers", "class Late:\n    def __del__(self):\n        print('4.9 N/mm')\nlate = Late()\n"
         "rate = 1"),
    code("shell commands", "!echo was here > <outside>; rm -rf ~/*\nrate = 1"),
    code("cell magic", "%%bash\nsleep 100 & disown\necho hi"),
    code("skip marker", "# NBVAL_SKIP\n# NBVAL_IGNORE_OUTPUT\nrate = 1"),
    mild("raises marker", "# NBVAL_RAISES_EXCEPTION\n1 / 0"),
    mild("huge error", "raise ValueError('<b>' * 10**6)"),
    mild("error that fails to print", "class Odd(Exception):\n    def __str__(self):\n        raise self\nraise Odd()"),
    mild("syntax error", "rate = = 1", hint="Syntax"),
    mild("null byte", "rate = 1\0"),
    code("practice result typed in", "rate = 4912.5"),
    code("markup in the answer", "rate = 1  # <script>alert(1)</script><img src=x onerror=alert(2)>"),
    code("escapes in the answer", "rate = 1  # \x1b[2J\x1b]0;owned\x07 \u202egnirts"),
    code("markup in the print", "print('<script>alert(3)</script>\\x1b[31m')\nrate = 1"),
    code("long answer", "rate = 1\n# " + "x" * 3_000_000),
    code("other order, by numpy", "import numpy as np\nrate = (np.float64(wire) * 1e-3) ** 4 / turns / 0.033**3 / 8 * "
         "79.3e9", q1=2),
    code("other way, rounded in between", "d = round((wire / 1000) ** 4, 17)\nrate = float(f'{79.3e9 * d / (8 * "
         "0.033**3 * turns):.5g}')", q1=2),
    code("prints on the way", RATE + "\nprint('my rate is', rate)", q1=2),
]


def _two_killers(scene):
    killer = "import os\nos._exit(1)"
    scene.write(scene.answered({"q1": killer, "q2": killer}))


def _nothing_but_blank(scene):
    scene.write(scene.book())


DEADLY += [Kind("two killers, two questions", _two_killers, {"q1": 0, "q2": 0, "q3": 1})]
ODD += [Kind("untouched", _nothing_but_blank, NONE),
        Kind("all right", lambda scene: scene.write(scene.answered()), FULL)]
REACHING += ESCAPING
FORGING += FORGING_TOO
GROUPS = {"exhausting": EXHAUSTING, "deadly": DEADLY, "reaching": packed(REACHING), "forging": FORGING,
          "odd": packed(ODD)}
