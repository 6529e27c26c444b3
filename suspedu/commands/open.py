"""`suspedu open`: the course in a folder of the learner's, and JupyterLab on its first lesson."""

from __future__ import annotations

import signal
import sys
from argparse import ArgumentParser, Namespace
from pathlib import Path

from suspedu.commands import serving
from suspedu.commands.laying import lay_course


def add_arguments(parser: ArgumentParser) -> None:
    """Describe the arguments of `suspedu open`."""
    parser.add_argument("folder", metavar="FOLDER", nargs="?", type=Path, default=Path("suspedu-course"),
                        help="your working folder; suspedu-course in the present folder when left out")
    parser.add_argument("--rider", action="store_true",
                        help="start each lesson with all folded but panels, predictions and key points")
    parser.add_argument("--no-browser", action="store_true", help="print the address and leave the browser alone")
    parser.add_argument("--port", type=int, help="port to listen on; the first free one from 8888 when left out")


def run(args: Namespace) -> int:
    """Lay the course, open it, and stay until the learner stops the server."""
    folder = args.folder.expanduser().resolve()
    if args.port is not None:
        serving.require_free(args.port)
    print(f"{folder}: {lay_course(folder).sentences()}", flush=True)
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))  # a request to end takes the server along
    server, token = serving.start_server(folder, args.port, not args.no_browser, rider=args.rider)
    try:
        print(f"The course is open at {serving.address(server, token, serving.first_page(folder))}", flush=True)
        print("Leave this window open while you work. To stop: save your work, then press Ctrl-C here.", flush=True)
        return server.wait()
    except KeyboardInterrupt:  # the usual end
        print("\nclosing the course", flush=True)
        return 0
    finally:
        serving.stop(server)
