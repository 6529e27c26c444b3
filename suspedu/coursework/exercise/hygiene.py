"""The one form in which the course's notebooks are written, and what no notebook of it may hold."""

from __future__ import annotations

import json
import re

from suspedu.units import InputError

KEPT_KINDS = ("text/plain", "text/latex", "text/markdown", "image/png")
KEPT_METADATA = ("suspedu", "jupyter", "deletable", "editable")
ADDRESS = re.compile(r"<[^<>\n]* at 0x[0-9a-fA-F]+>")
KERNEL = {"kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
          "language_info": {"name": "python"}}


def written(book: dict) -> bytes:
    """Bytes of a notebook in the one form: sorted keys, indent 1, source as lines, UTF-8, a newline at the end."""
    return (json.dumps(book, indent=1, sort_keys=True, ensure_ascii=False) + "\n").encode()


def tidy(book: dict, exercise: str = "") -> dict:
    """The notebook without kernel names, tags, widget state or stray metadata; outputs stay as they are.

    Parameters: book, as loaded from JSON; exercise, a name written into its metadata.
    """
    metadata = KERNEL | {key: book["metadata"][key] for key in ("suspedu", "title") if key in book["metadata"]}
    if exercise:
        metadata["suspedu"] = {"exercise": exercise}
    cells = [_tidy_cell(cell) for cell in book["cells"]]
    return {"cells": cells, "metadata": metadata, "nbformat": 4, "nbformat_minor": 5}


def _tidy_cell(cell: dict) -> dict:
    """One cell with its source as a list of lines and only the metadata that is kept."""
    kept = {key: cell[key] for key in ("cell_type", "id", "attachments") if key in cell}
    kept["metadata"] = {key: value for key, value in cell["metadata"].items() if key in KEPT_METADATA}
    kept["source"] = "".join(cell["source"]).splitlines(keepends=True)
    if cell["cell_type"] == "code":
        kept |= {"execution_count": cell.get("execution_count"), "outputs": cell.get("outputs", [])}
    return kept


def cleared(cell: dict) -> dict:
    """A cell without outputs and count."""
    return cell | {"execution_count": None, "outputs": []} if cell["cell_type"] == "code" else cell


def tidy_outputs(outputs: list[dict], where: str, count: int) -> list[dict]:
    """Outputs as git keeps them: text that nbval compares and stills, counted afresh.

    Raises: InputError naming the cell, for output that would differ each time or should not be there.
    """
    return [_tidy_output(output, where, count) for output in outputs]


def _tidy_output(output: dict, where: str, count: int) -> dict:
    kind = output["output_type"]
    if kind == "stream":
        text = "".join(output["text"])
        if output["name"] == "stderr":
            raise InputError(f"{where} writes on stderr, which a notebook must not: {text.strip()[-200:]!r}")
        _refuse_address(text, where)
        return {"output_type": kind, "name": "stdout", "text": text.splitlines(keepends=True)}
    data = {mime: output["data"][mime] for mime in KEPT_KINDS if mime in output["data"]}
    if not any(mime.startswith("text/") for mime in data):
        raise InputError(f"{where} shows something without text beside it ({', '.join(output['data'])})")
    for mime in data.keys() - {"image/png"}:
        text = "".join(data[mime])
        _refuse_address(text, where)
        data[mime] = text.splitlines(keepends=True)
    kept = {"output_type": kind, "data": data, "metadata": {}}
    return kept | ({"execution_count": count} if kind == "execute_result" else {})


def _refuse_address(text: str, where: str) -> None:
    if found := ADDRESS.search(text):
        raise InputError(f"{where} prints {found[0]!r}, which differs each time; end the line without it")
