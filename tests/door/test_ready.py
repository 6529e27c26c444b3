"""A machine that is ready: all is right here, and each thing that can be wrong is seen and comes with what to type."""

import json
import sys
from argparse import Namespace
from importlib import metadata
from pathlib import Path

import pytest

from suspedu.commands import ready


def test_the_kernel_of_this_machine_is_right():
    finding = ready.kernel()
    assert not finding.remedy, finding.line()


@pytest.mark.parametrize("look", [ready.interpreter, ready.packages, ready.widgets, ready.loopback])
def test_this_machine_is_right(look):
    finding = look()
    assert not finding.remedy, finding.line()


def test_folder_is_right(tmp_path):
    assert not ready.write_access(tmp_path).remedy
    assert not ready.disk(tmp_path).remedy


def test_missing_folder_is_wrong(tmp_path):
    finding = ready.write_access(tmp_path / "nowhere")
    assert "suspedu ready FOLDER" in finding.remedy and "nowhere" in finding.found


def test_little_room_is_wrong(tmp_path, monkeypatch):
    monkeypatch.setattr(ready, "DISK_NEEDED", 1e18)
    assert ready.disk(tmp_path).remedy


def test_old_and_missing_packages_are_named_with_what_to_type(monkeypatch):
    wanted = ["numpy>=9999", "no-such-package-of-ours>=1", "scipy>=1", "scipy>=9999; extra == 'test'"]
    monkeypatch.setattr(ready.metadata, "requires", lambda name: wanted)
    finding = ready.packages()
    assert f"numpy is {metadata.version('numpy')}, needed >=9999" in finding.found
    assert "no-such-package-of-ours is missing" in finding.found
    assert finding.remedy.endswith('pip install "numpy>=9999" "no-such-package-of-ours>=1"')


def test_old_interpreter_is_wrong(monkeypatch):
    monkeypatch.setattr(ready.platform, "python_version", lambda: "3.9.2")
    assert "3.11" in ready.interpreter().remedy


def test_widgets_without_their_browser_part_are_wrong(monkeypatch):
    monkeypatch.setattr(ready, "WIDGET_PARTS", ("no-such-part",))
    assert "no-such-part" in ready.widgets().found and "--force-reinstall" in ready.widgets().remedy


def kernel_of(folder: Path, *command: str) -> None:
    """A kernel specification that stands before the real one."""
    home = folder / "kernels" / "python3"
    home.mkdir(parents=True)
    home.joinpath("kernel.json").write_text(json.dumps(
        {"argv": [*command, "{connection_file}"], "display_name": "Python 3", "language": "python"}))


def test_a_kernel_that_cannot_start_is_wrong(tmp_path, monkeypatch):
    kernel_of(tmp_path, str(tmp_path / "no-such-python"), "-m", "ipykernel_launcher", "-f")
    monkeypatch.setenv("JUPYTER_PATH", str(tmp_path))
    finding = ready.kernel()
    assert "did not start" in finding.found and "ipykernel install --sys-prefix" in finding.remedy


def test_a_kernel_of_another_python_is_wrong(tmp_path, monkeypatch):
    program = "import sys; sys.prefix = '/elsewhere'; from ipykernel.kernelapp import launch_new_instance as go; go()"
    kernel_of(tmp_path, sys.executable, "-c", program, "-f")
    monkeypatch.setenv("JUPYTER_PATH", str(tmp_path))
    finding = ready.kernel()
    assert "another Python, of /elsewhere" in finding.found and finding.remedy


def test_a_look_that_breaks_is_a_finding(monkeypatch, tmp_path):
    def broken():
        raise RuntimeError("no such thing")

    monkeypatch.setattr(ready, "widgets", broken)
    monkeypatch.setattr(ready, "kernel", lambda: ready.Finding("kernel", "left out here"))
    found = {finding.topic: finding for finding in ready.findings(tmp_path)}
    assert len(found) == 8 and "RuntimeError: no such thing" in found["widgets"].found and found["widgets"].remedy


@pytest.mark.parametrize(("remedy", "code", "said"), [("", 0, "This machine is ready"), ("do", 1, "To be mended: 1")])
def test_exit_code_and_last_words(monkeypatch, capsys, remedy, code, said):
    monkeypatch.setattr(ready, "findings", lambda folder: [ready.Finding("disk", "as it is", remedy)])
    assert ready.run(Namespace(folder=Path())) == code
    assert said in capsys.readouterr().out


def test_a_course_without_notebooks_is_wrong(monkeypatch):
    monkeypatch.setattr("suspedu.commands.laying.course_files", lambda: [("README.md", b"")])
    finding = ready.course()
    assert finding.found == "0 notebooks" and "--upgrade suspedu" in finding.remedy


def test_a_network_that_does_not_answer_is_wrong(monkeypatch):
    def refused(*_, **__):
        raise ConnectionRefusedError(111, "Connection refused")

    monkeypatch.setattr(ready.socket, "create_connection", refused)
    finding = ready.loopback()
    assert "Connection refused" in finding.found and "firewall" in finding.remedy
