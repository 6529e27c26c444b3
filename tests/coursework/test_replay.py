"""What a question comes to after a death: played through with a bench that acts out plain words in place of code."""

import pytest

from suspedu.coursework.exercise.bench import Run
from suspedu.coursework.exercise.expected import Expected
from suspedu.coursework.exercise.marking import _marks
from suspedu.coursework.exercise.replay import replayed
from suspedu.coursework.exercise.task import Task
from suspedu.coursework.running.runner import CellOutcome

BLANKS = {"q1": "rate = ...", "q2": "spring_force = ...", "q3": "choice = ..."}


def acted(job):
    """The run of a notebook: a cell with the word `die` ends its kernel, `loop` runs out of time, `leave` leaves
    something behind, `trip` ends the kernel where something was left, `slip` gives a wrong print."""
    outcomes, left, dead = {}, False, False
    for step in job.steps:
        fault = "dead" if dead else "died" if "die" in step.source or ("trip" in step.source and left) else ""
        fault = fault or ("timeout" if "loop" in step.source else "error" if "use ..." in step.source else "")
        dead, left = dead or fault == "died", left or "leave" in step.source
        outcomes[step.key] = CellOutcome("failed" if fault else "passed", fault, "")
    return Run(outcomes)


class Bench:
    """Takes down what was run, and how often."""

    def __init__(self):
        self.rounds = []

    def run(self, jobs):
        self.rounds.append([[step.key for step in job.steps] for job in jobs])
        return {job.name: acted(job) for job in jobs}


@pytest.fixture
def marked(pristine):
    """Verdicts by question of some answers, and the rounds of replays; `first` may alter the first run."""
    def mark(first=None, **answers):
        sheet = pristine.with_sources({f"{question}-answer": f"{BLANKS[question].removesuffix('...')}'{words}'"
                                       for question, words in answers.items()})
        sheet = sheet.with_sources({cell.id: "" for cell in sheet.with_role("tool")})
        task, bench = Task("a", pristine, sheet, dict.fromkeys(BLANKS, Expected("1\n"))), Bench()
        run = acted(task.job())
        run = first(run) if first else run
        later = replayed([task], {"a": run}, bench)
        rows = _marks(task, run, {question: found for (_, question), found in later.items()}).rows
        return {row.question: row.verdict for row in rows if row.question in BLANKS}, bench.rounds
    return mark


def test_no_death_no_replay(marked):
    assert marked(q1="well", q2="loop", q3="well") == ({"q1": "right", "q2": "error", "q3": "right"}, [])


def test_the_first_answer_is_not_run_again(marked):
    """Nothing else can be to blame for it."""
    verdicts, rounds = marked(q1="die", q2="well", q3="well")
    assert verdicts == {"q1": "error", "q2": "right", "q3": "right"}
    assert [[step for step in job if step.endswith("verdict")] for job in rounds[0]] == [["q2-verdict"], ["q3-verdict"]]
    assert len(rounds) == 1


def test_what_came_before_the_trouble_is_kept(marked):
    verdicts, rounds = marked(q1="well", q2="die", q3="well")
    assert verdicts == {"q1": "right", "q2": "error", "q3": "right"}
    assert not any("q1-verdict" in job for job in rounds[0])


def test_each_killer_costs_its_own_question(marked):
    assert marked(q1="die", q2="die", q3="well")[0] == {"q1": "error", "q2": "error", "q3": "right"}
    assert marked(q1="die", q2="die", q3="die")[0] == {"q1": "error", "q2": "error", "q3": "error"}
    assert marked(q1="well", q2="well", q3="die")[0] == {"q1": "right", "q2": "right", "q3": "error"}


def test_what_ran_out_of_time_is_the_first_suspect(marked):
    """q3 builds on both; it dies of what q1 left behind, not of the nearer answer."""
    verdicts, rounds = marked(q1="loop, leave", q2="well", q3="trip' if rate and spring_force else '")
    assert verdicts == {"q1": "error", "q2": "right", "q3": "right"}
    assert len(rounds) == 2 and "q2-answer" in rounds[1][0]


def test_what_left_something_deadly_is_found(marked):
    """q1 is right, but what it left behind ends q3's kernel: q2 is blanked, then q1."""
    verdicts, rounds = marked(q1="leave", q2="well' if rate else '", q3="trip' if rate and spring_force else '")
    assert verdicts == {"q1": "right", "q2": "right", "q3": "right"}
    assert len(rounds) == 3


def test_an_answer_that_dies_with_all_others_blank_is_guilty(marked):
    verdicts, rounds = marked(q1="well", q2="well", q3="die' if rate and spring_force else '")
    assert verdicts == {"q1": "right", "q2": "right", "q3": "error"}
    assert len(rounds) == 3


@pytest.mark.parametrize("noticed", ["q1-verdict", "q2-answer", "q2-verdict", "q3-answer", "q3-verdict"])
def test_other_questions_do_not_hang_on_where_a_death_shows(marked, noticed):
    def late(run):
        keys = list(run.outcomes)
        place = keys.index(noticed)
        died = {key: CellOutcome("failed", "died" if key == noticed else "dead", "") for key in keys[place:]}
        return Run(run.outcomes | died)
    verdicts, _ = marked(late, q1="well", q2="well' if rate else '", q3="well")
    assert (verdicts["q2"], verdicts["q3"]) == ("right", "right")


def test_a_kernel_that_never_started_is_started_again(marked):
    verdicts, _ = marked(lambda run: Run({key: CellOutcome("failed", "dead", "") for key in run.outcomes}),
                         q1="well", q2="well", q3="well")
    assert verdicts == {"q1": "right", "q2": "right", "q3": "right"}
