"""Numbers of one's own: drawn for each student of a class, sound, fair, nobody's twice, and the same ever after."""

import json
import shutil
from collections import Counter

import pytest

from suspedu.coursework.desk import desk, own_numbers
from suspedu.coursework.desk.class_list import Student
from suspedu.coursework.desk.handout import hand_out
from suspedu.coursework.exercise import draws, expected, fairness, options, reader, soundness
from suspedu.coursework.exercise.sealed import unseal, with_own_choices
from suspedu.coursework.exercise.sheet import Cell
from suspedu.units import InputError

CLASS = [str(7001 + k) for k in range(60)]
NAME, CHOICE = "01_springs_preload_sag", "heavy-rider"


def a_desk(folder):
    place = desk.Desk(folder)
    place.folder.mkdir()
    (place.folder / "course_secret").touch(mode=0o600)
    (place.folder / "course_secret").write_text("5e" * 32 + "\n", encoding="ascii")
    return place


def handed(place, numbers, found):
    steps, numbers = [], list(numbers)
    hand_out(place, [Student(number) for number in numbers], found, told=steps.append)
    assert sum(steps) == len(numbers)
    with place.record() as record:
        return own_numbers.lots(record, found)


@pytest.fixture(scope="module")
def large(tmp_path_factory):
    """Sixty students with exercise 01: the desk, the material, what each was given, and their expected prints."""
    place, found = a_desk(tmp_path_factory.mktemp("large") / "desk"), desk.materials(["01"])
    given = handed(place, CLASS, found)
    with place.record() as record:
        material = found[NAME]
        prints = own_numbers.known_prints(record, material, [given[s, NAME] for s in CLASS])
    return place, found, given, dict(zip(CLASS, prints, strict=True))


def test_of_sixty_no_two_are_alike_in_any_question(large):
    """A neighbour's value and the practice value, typed in, are right for nobody: 60 x 60 tries in each question."""
    _, found, _, prints = large
    practice = expected.of_rows(found[NAME].solution, [0])[0]
    for cell in fairness.valued(found[NAME].solution):
        shown = [each[cell.question].print for each in prints.values()]
        assert len(set(shown)) == len(CLASS) and practice[cell.question].print not in shown


def test_every_draw_is_sound_and_fair_and_within_what_the_exercise_says(large):
    _, found, given, _ = large
    material = found[NAME]
    some = {student: material.own_solution(given[student, NAME]) for student in CLASS[::6]}
    practice = expected.of_rows(material.solution, [0])[0]
    for each in soundness.of_solutions(some).values():
        assert each.faults == () and fairness.unfair(material.solution, practice, each.prints) == []
    cells = {cell.id: cell for cell in material.solution.with_role("numbers")}
    for lot in given.values():
        for cell, own in lot.numbers.items():
            assert all(own[name] in draws.values_of(cells[cell].facts["drawn"][name]) for name in own)
            assert draws.meets(cells[cell], own)


def test_each_letter_is_the_key_of_as_many(large):
    _, found, given, _ = large
    right = unseal(next(c for c in found[NAME].pristine.with_role("verdict") if c.facts.get("choice")).facts["sealed"])
    letter = next(letter for letter in "abcd" if right.holds(letter))
    keys = Counter(given[student, NAME].orders[CHOICE][letter] for student in CLASS)
    assert set(keys) == set("abcd") and all(2 <= count <= 28 for count in keys.values())  # 15, four deviations of 3.4
    assert len({str(given[student, NAME].orders) for student in CLASS}) >= 20  # of 24


def test_copy_shows_own_numbers_and_options_and_its_self_check_knows_the_letter(large):
    place, found, given, _ = large
    texts = options.choices(found[NAME].pristine)[CHOICE][1]
    for student in CLASS[:6]:
        copy = reader.read_sheet(place.handed_out / student / f"{NAME}.ipynb")
        lot = given[student, NAME]
        assert {text: own for own, text in options.choices(copy)[CHOICE][1].items()} == {
            texts[letter]: own for letter, own in lot.orders[CHOICE].items()}
        wanted = with_own_choices({CHOICE: unseal(found[NAME].pristine.with_role("verdict")[-1].facts["sealed"])}, copy)
        old = unseal(found[NAME].pristine.with_role("verdict")[-1].facts["sealed"])
        assert [wanted[CHOICE].holds(lot.orders[CHOICE][letter]) for letter in "abcd"] == [
            old.holds(letter) for letter in "abcd"]


def test_given_once_given_for_good(large, tmp_path):
    """Whoever joins later, and where the record is lost: the copies that are out keep their numbers."""
    found = large[1]
    few = CLASS[:4]
    other = a_desk(tmp_path / "desk")
    first = handed(other, reversed(few), found)  # in another order, and so with other neighbours to keep clear of
    later = handed(other, [*few, "9001"], found)
    assert {key: later[key] for key in first} == first and later["9001", NAME].numbers
    (other.folder / "record.sqlite").unlink()
    assert {key: lot for key, lot in handed(other, ["9001", *few], found).items() if key in first} == first
    copy = other.handed_out / few[0] / f"{NAME}.ipynb"
    shutil.copy(copy, other.handed_out / few[1] / copy.name)  # another's copy says nothing
    assert own_numbers.copied_draw(other, few[1], NAME) is None
    assert own_numbers.copied_draw(other, few[0], NAME) == first[few[0], NAME].row
    copy.write_text("[", encoding="utf-8")
    assert own_numbers.copied_draw(other, few[0], NAME) is None


def test_a_row_of_the_table_that_was_handed_out_stays(tmp_path):
    """Copies of before numbers were drawn: their row and the exercise's own order of options."""
    place, found = a_desk(tmp_path / "desk"), desk.materials(["01"])
    with place.record(must_exist=False) as record:
        record.add_students([Student("7001")])
        record.add_handout([("7001", NAME, 5)])
    assert handed(place, ["7001"], found) == {("7001", NAME): desk.Lot(5)}
    book = json.loads((place.handed_out / "7001" / f"{NAME}.ipynb").read_bytes())
    numbers = next(cell for cell in book["cells"] if cell["id"] == "wire-rate-numbers")
    row = found[NAME].solution.with_role("numbers")[0].facts["rows"][5]
    assert "".join(numbers["source"]).startswith(f"wire = {row[0]}  # mm") and "draw" not in book["metadata"]["suspedu"]
    assert f"coil_diameter = {row[1]}" in "".join(numbers["source"])


def drawn_cell(**facts):
    given = {"names": ["wire"], "drawn": {"wire": [4.0, 5.0, 0.1]}}
    return Cell("numbers", "code", "wire = 4.5  # mm", {"role": "numbers"} | given | facts)


@pytest.mark.parametrize(("facts", "words"), [
    ({"drawn": {"wires": [4.0, 5.0, 0.1]}}, "draws wires, and its names are wire"),
    ({"drawn": {"wire": [4.0, 5.0]}}, r"'wire': \[4.0, 5.0\] is neither \[low, high, step\]"),
    ({"drawn": {"wire": [5.0, 4.0, 0.1]}}, "5 to 4 in steps of 0.1 gives 0 different values; allowed: 2 to 10000"),
    ({"drawn": {"wire": [4.0, 5.0, 1e-9]}}, "gives 10001 different values"),
    ({"drawn": {"wire": {"of": [4.5, 4.5]}}}, "gives 1 different values"),
    ({"drawn": {"wire": {"of": [4.0, "x"]}}}, "is neither"),
    ({"drawn": {"wire": [4.02, 5.0, 0.1]}}, "the practice value wire = 4.5 is not one of those .* 4.02 to 5 in steps"),
    ({"where": "wire > 4.6"}, "the practice numbers do not meet 'wire > 4.6'"),
    ({"where": "wire > coil"}, "its condition 'wire > coil' cannot be worked out; compare its numbers"),
    ({"where": "__import__('os').getcwd() > ''"}, "cannot be worked out"),
    ({"where": "wire >"}, "cannot be worked out"),
    ({"where": "wire / 0 > 1"}, "cannot be worked out"),
])
def test_unfit_source_of_numbers_is_refused_in_a_sentence(solution, facts, words):
    sheet = solution.with_facts("numbers", role="").with_sources({})
    sheet = type(sheet)(sheet.name, (*sheet.cells, drawn_cell(**facts)))
    with pytest.raises(InputError, match=words):
        draws.is_drawn(sheet)


def test_numbers_are_drawn_of_all_cells_or_of_none(solution):
    sheet = type(solution)(solution.name, (*solution.cells, drawn_cell()))
    with pytest.raises(InputError, match="numbers cell 'numbers' does not say what its numbers are drawn from"):
        draws.is_drawn(sheet)


def test_a_result_far_from_practice_is_unfair(solution):
    def prints(value):
        return {cell.question: expected.Expected(value) for cell in fairness.valued(solution)}

    assert fairness.unfair(solution, prints("4.5 N"), prints("13.4 N")) == []
    said = fairness.unfair(solution, prints("4.5 N"), prints("13.6 N"))
    assert said[0] == ("question 'q1' comes to '13.6 N', which is not within 1.5 to 13.5: harder or easier than "
                       "practice")
    assert "has the practice result" in fairness.unfair(solution, prints("4.5 N"), prints("4.5 N"))[0]
    narrow = solution.with_facts("q1-verdict", between=[4.0, 5.0])
    assert len(fairness.unfair(narrow, prints("4.5 N"), prints("5.5 N"))) == 1
    with pytest.raises(InputError, match=r"give \[low, high\] with practice inside"):
        fairness.unfair(solution.with_facts("q1-verdict", between=[5.0, 6.0]), prints("4.5 N"), prints("5.5 N"))
