"""A pytest process that runs nbval over a batch of notebooks: `python -m suspedu.coursework.running.engine PLAN.json`.

It is started by `runner`, away from the learner's files, and leaves its findings in the log that the plan names.
"""

from __future__ import annotations

import json
import sys
import types
from pathlib import Path

# Optional format checkers of JupyterLab's environment, slow to import (one alone 0.9 s) and never asked for here.
for name in ("rfc3987_syntax", "rfc3986_validator", "isoduration", "fqdn", "webcolors", "uri_template"):
    sys.modules.setdefault(name, None)

# nbval's measuring of coverage, which nobody asks for here either, loads a whole tool.
cover = types.ModuleType("nbval.cover")
cover.setup_coverage = cover.teardown_coverage = lambda *given: None
sys.modules.setdefault(cover.__name__, cover)

import nbval.plugin  # noqa: E402
import pytest  # noqa: E402

from suspedu.coursework.running.limits import hold_own_memory  # noqa: E402
from suspedu.coursework.running.nbval_plugin import CellLog  # noqa: E402

ARGUMENTS = ["-q", "--tb=line", "--no-header", "--no-summary", "--color=no", "--noconftest", "--import-mode=importlib",
             "--continue-on-collection-errors", "-p", "no:cacheprovider", "-p", "no:unraisableexception"]


def main(plan_path: str) -> int:
    """Run the batch that a plan describes; the result says only whether pytest itself got through."""
    plan = json.loads(Path(plan_path).read_text(encoding="utf-8"))
    sys.path += plan["search_path"]
    config = Path(plan_path).with_name("pytest.ini")
    config.write_text("[pytest]\n", encoding="utf-8")
    log = CellLog(plan)
    hold_own_memory(log.limits.address_space)
    timeout = f"--nbval-cell-timeout={log.limits.cell_seconds}"
    further = [part for name in plan["plugins"] for part in ("-p", name)]
    code = pytest.main([*ARGUMENTS, *further, timeout, "-c", str(config), "--rootdir", str(config.parent),
                        *plan["notebooks"]], plugins=[nbval.plugin, log])
    return 0 if code in (pytest.ExitCode.OK, pytest.ExitCode.TESTS_FAILED) else int(code)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
