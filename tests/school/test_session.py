"""Complaints, cases and sessions: what a rider says, what a tape finds, what is concluded."""

import re

import pytest

from suspedu.school import COMPLAINTS, FAULTS, LOOP, Session, case, complaints_of, loop_ground, loop_outcomes
from suspedu.school.complaints import FEELS_WELL, complaint, in_words
from suspedu.school.machines import school_machine
from suspedu.school.session import HANDS
from suspedu.units import InputError


def test_better_is_less_or_more_as_the_rider_means_it():
    low, tall = COMPLAINTS["rides-low"], COMPLAINTS["stands-tall"]
    assert low.gain(-1.0) == 1.0 == tall.gain(1.0)
    assert low.shown(-0.0021) == "−2.1 mm" and COMPLAINTS["kicks"].shown(0.05) == "+0.05 m/s"
    assert {wrong.ground for wrong in COMPLAINTS.values()} <= set(LOOP)
    assert loop_ground("log").name == "log"


def test_the_schools_own_machine_draws_no_complaint():
    assert complaints_of(school_machine()) == {}
    assert set(loop_outcomes(school_machine())) == set(COMPLAINTS)


def test_eight_cases_are_all_faults_and_each_draws_its_own_words():
    cases = [case(number) for number in range(1, 9)]
    assert {each.wrong for each in cases} == set(FAULTS)
    words = [tuple(complaints_of(each.machine)) for each in cases]
    assert all(words) and len(set(words)) >= 6  # two pairs sound alike: the stand tells them apart


def test_a_case_is_the_same_each_time_and_its_size_differs_from_the_next_of_its_kind():
    again = [case(6).machine.legs[0].air.oil_height for _ in range(2)]
    assert again[0] == again[1] != case(14).machine.legs[0].air.oil_height
    with pytest.raises(InputError, match="1 to 999"):
        case(0)


def test_a_session_finds_slow_rebound_and_writes_everything_down():
    session = Session(8)
    assert "packs in whoops" in session.lap().words
    session.turn("rebound", -9)
    note = session.lap()
    assert note.change == "rebound 2 out to 11 out" and note.words == FEELS_WELL
    assert session.conclude("slow-rebound").startswith("Yes")
    assert session.conclude("little-oil").startswith("No")
    assert len(session.notes) == 2 and session.case.machine is not session.machine


def test_two_changes_at_once_are_said_and_slips_get_a_sentence():
    session = Session(2)
    session.turn("preload", 1), session.turn("rebound", 1)
    assert "which one was it?" in session.lap().change
    for slip in (lambda: session.turn("springs", 1), lambda: session.turn("rebound", 90),
                 lambda: session.conclude("bad-luck")):
        with pytest.raises(InputError):
            slip()


def test_the_stand_shows_what_no_lap_tells():
    """Dragging seals, a hard tyre, and soft springs wound up to the right rider sag: each leaves its own measure."""
    def read(number):
        return [float(found) for found in re.findall(r"([\d.]+) mm", Session(number).measured())]

    free, sag, apart, squashed = read(8)  # slow rebound: nothing that a tape could find
    assert read(1)[2] > 4 * apart and read(1)[:2] == [free, sag]
    assert read(7)[3] < 0.7 * squashed and read(7)[:3] == [free, sag, apart]
    assert read(3)[0] <= free - 4 and read(3)[1] == pytest.approx(sag, abs=1)


def test_words_come_from_the_table_and_ids_are_no_words():
    assert in_words({"packs": 3.5, "dives": 1.0}) == "packs in whoops, badly; dives on the brakes"
    for names in (COMPLAINTS, FAULTS):
        assert all(re.fullmatch(r"[a-z]+(-[a-z]+)*", name) for name in names)
        assert len({each.words for each in names.values()}) == len(names)
    with pytest.raises(InputError, match="did you mean 'packs'"):
        complaint("pack")


def test_hands_turn_what_needs_no_workshop():
    assert HANDS == ("preload", "oil_height", "compression_low", "compression_high", "rebound")
    with pytest.raises(InputError, match="coil_rate"):
        Session(8).turn("coil_rate", 1)
