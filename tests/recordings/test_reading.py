"""A CSV is read or refused: never guessed."""

import time as clock

import numpy as np
import pytest

from suspedu.recordings import read_recording, recording_from, reduced, write_recording
from suspedu.units import InputError


def written(table, separator=",", comma=False, mark=b"", digits=6):
    lines = zip(*table.values(), strict=True)
    rows = "\n".join(separator.join(f"{value:.{digits}f}" for value in line) for line in lines)
    text = separator.join(table) + "\n" + (rows.replace(".", ",") if comma else rows) + "\n"
    return mark + text.encode()


@pytest.mark.parametrize(("separator", "comma", "mark"), [
    (",", False, b""), (";", False, b""), (";", True, b""), ("\t", True, b"\xef\xbb\xbf"),
    (";", True, b"\xef\xbb\xbf")])
def test_each_way_of_writing_reads_the_same(table, separator, comma, mark):
    read = recording_from(written(table, separator, comma, mark))
    np.testing.assert_allclose(read.stroke, table["stroke [mm]"] / 1e3, atol=1e-9)
    np.testing.assert_allclose(read.force, table["force [N]"], atol=1e-6)
    assert read.notes[0].endswith(f"decimals by a {'comma' if comma else 'point'}.")


def test_units_and_names_are_taken_as_they_are_written_and_said(table):
    """An inch is 25.4 mm, a pound-force 4.4482216152605 N, both by definition (printed, from memory)."""
    other = {"t (ms)": table["time [s]"] * 1e3, "Weg": table["stroke [mm]"] / 25.4,
             "Kraft [lbf]": table["force [N]"] / 4.4482216152605, "T (°F)": np.full(300, 104.0)}
    names = {"time": "t", "stroke": "Weg [in]", "force": "Kraft", "temperature": "T"}
    read = recording_from(written(other, ";", digits=9), names)
    np.testing.assert_allclose(read.stroke, table["stroke [mm]"] / 1e3, atol=1e-9)
    np.testing.assert_allclose(read.force, table["force [N]"], atol=1e-5)
    assert read.mean_temperature == pytest.approx(313.15)
    assert [note for note in read.notes if "changed into SI" in note] == [
        "stroke is column 2, 'Weg', in in, changed into SI.", "force is column 3, 'Kraft', in lbf, changed into SI.",
        "temperature is column 4, 'T', in °F, changed into SI."]


def spoil(table, **columns):
    return table | {next(name for name in table if name.startswith(start)): values for start, values in columns.items()}


def with_value(values, row, value):
    changed = np.array(values)
    changed[row] = value
    return changed


def stuck(values, start, end):
    changed = np.array(values)
    changed[start:end] = changed[start]
    return changed


@pytest.mark.parametrize(("bad", "words"), [
    (lambda t: {name: values[:3] for name, values in t.items()}, "the file has 3 rows"),
    (lambda t: {name: np.delete(values, slice(100, 110)) for name, values in t.items()}, "time leaves a gap in 1 of"),
    (lambda t: {name: np.insert(values, 50, values[50]) for name, values in t.items()}, "time stands still: a row"),
    (lambda t: spoil(t, time=with_value(t["time [s]"], 50, 0.0)), "time runs back"),
    (lambda t: spoil(t, force=with_value(t["force [N]"], 7, np.nan)), "force is not a number in 1 of 300 rows"),
    (lambda t: spoil(t, stroke=t["force [N]"], force=t["stroke [mm]"]), "span of the stroke is 600 mm.*swapped"),
    (lambda t: spoil(t, stroke=t["force [N]"] / 2 + 150, force=t["stroke [mm]"]), "in each other's place"),
    (lambda t: spoil(t, force=-t["force [N]"]), "the damper gives"),
    (lambda t: spoil(t, stroke=t["stroke [mm]"] / 25.4 / 50), "span of the stroke is .* the unit another"),
    (lambda t: {name.replace("[s]", "[ms]"): values for name, values in t.items()}, "greatest speed is .* ms or s"),
    (lambda t: spoil(t, force=stuck(t["force [N]"], 100, 140)), "force stays at .* from row 101 to 140"),
    (lambda t: spoil(t, stroke=stuck(t["stroke [mm]"], 100, 140)), "stroke stays at .* its sensor stuck"),
    (lambda t: spoil(t, stroke=t["stroke [mm]"] - 200.0), "least stroke is .* mounted_at"),
    (lambda t: {name.replace("[mm]", ""): values for name, values in t.items()}, "column 'stroke' has no unit"),
    (lambda t: {name.replace("[N]", "[lb]"): values for name, values in t.items()}, "a pound is a mass or a force"),
    (lambda t: {name.replace("[mm]", '["]'): values for name, values in t.items()}, "write in for inches"),
    (lambda t: {name.replace("[N]", "[bar]"): values for name, values in t.items()}, "no unit of force"),
    (lambda t: {name.replace("stroke", "Weg"): values for name, values in t.items()}, "column 'stroke' for the"),
])
def test_what_goes_wrong_gets_one_sentence(table, bad, words):
    with pytest.raises(InputError, match=words) as refusal:
        recording_from(written(bad(table)))
    assert "\n" not in str(refusal.value) and len(str(refusal.value)) < 330


@pytest.mark.parametrize(("text", "words"), [
    (b"", "the file has no header"), (b"1,2,3\n4,5,6\n", "the file has no header"),
    (b"\xff\xfet\x00", "UTF-16"),
    (b"time [s],stroke [mm],force [N]\n0,1,2\n0,1,,2\n", "row 2 has 4 values, the header 3 columns; do commas part"),
    (b"time [s];stroke [mm];force [N]\n0;1;2\n0;;2\n", "row 2 has an empty cell"),
    (b"time [s];stroke [mm];force [N]\n0;1;2\n0;1;1.234,5\n", "row 2 holds '1.234.5', which is no number .thousands"),
    (b"time [s];stroke [mm];force [N]\n0;1;2\n0;1;off\n", "row 2 holds 'off'"),
    (b"time [s];stroke [mm];force [N]\n", "the file has 0 rows"),
])
def test_a_broken_table_is_told_by_its_row(text, words):
    with pytest.raises(InputError, match=words):
        recording_from(text)


@pytest.mark.parametrize(("names", "words"), [
    ({"travel": "x"}, "'travel' is no quantity"),
    ({"stroke": "load [mm]", "force": "load [N]"}, "would be both stroke and force"),
    ({"stroke": "stroke [m]"}, "the header says that 'stroke' is in mm, the mapping m"),
    ({"temperature": "T"}, "column 'T' for the temperature is not there")])
def test_a_mapping_that_does_not_fit_is_refused(table, names, words):
    with pytest.raises(InputError, match=words):
        recording_from(written(table | {"load": table["force [N]"]}), names)


def test_a_clock_that_was_rounded_is_no_gap(table):
    """1500 rows a second written to a tenth of a millisecond jump between 0.6 and 0.7 ms."""
    even = spoil(table, time=np.arange(300) / 1500.0)
    assert len(recording_from(written(even, digits=4)).time) == 300
    with pytest.raises(InputError, match="leaves a gap"):
        recording_from(written({name: np.delete(values, 50) for name, values in even.items()}, digits=4))


def test_a_recording_written_is_read_again(recording, tmp_path):
    again = read_recording(write_recording(tmp_path / "test.csv", recording))
    np.testing.assert_allclose(again.stroke, recording.stroke, atol=1e-7)
    assert again.notes[0] == recording.notes[0] and again.notes[0].startswith("simulated")
    with pytest.raises(InputError, match="cannot be read"):
        read_recording(tmp_path)


def test_a_million_rows_take_less_than_three_seconds(tmp_path):
    """Of processor time, since a busy machine makes its own."""
    time = np.arange(1_000_000) / 2000.0
    turn = 2.0 * np.pi * 2.0 * time
    piece = "\n".join("{:.4f};{:.3f};{:.1f};40.0".format(*row) for row in zip(
        time.tolist(), (150.0 - 25.0 * np.cos(turn)).tolist(), (40.0 + 400.0 * np.sin(turn)).tolist(), strict=True))
    path = tmp_path / "long.csv"
    path.write_text("time [s];stroke [mm];force [N];temperature [degC]\n" + piece.replace(".", ",") + "\n", "utf-8")
    start = clock.process_time()
    test = reduced(read_recording(path))
    assert clock.process_time() - start < 3.0
    assert sum(each.cycles for each in test.passes) == 1000 and len(test.motion.velocity) == 1_000_000
