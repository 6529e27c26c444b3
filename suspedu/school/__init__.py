"""The riding school, headless: what its lessons and panels work out from the laws of the other rooms.

Complaints and the loop they are ridden on, faults and set-up sessions, the chart of adjusters and what a setting
costs elsewhere, rows of whoops, stacks and valves on the bench.
"""

from suspedu.school.bench_settings import bench_machine
from suspedu.school.chart import Advice, chart, felt, first_choice, gains, half_in_words, minutes, ride_charts
from suspedu.school.complaints import COMPLAINTS, Complaint, complaints_of, in_words, loop_outcomes
from suspedu.school.faults import FAULTS, Case, Fault, case
from suspedu.school.glossary import GLOSSARY, SYMBOLS
from suspedu.school.jobs import jobs, jobs_text
from suspedu.school.loop import LOOP, TALL, loop_ground, meets_rim, ridden
from suspedu.school.machines import MACHINES, chosen_machine, machine_choices, school_machine, set_machine
from suspedu.school.packing import ROWS, left_over, over_whoops
from suspedu.school.rubbing import rubbing
from suspedu.school.session import CAUTION, Note, Session, notes_text
from suspedu.school.stacks import built_stack, delivered, gap_closes, lift_falls, rebound_tables
from suspedu.school.trade_off import calmest, ride_trade_off, unbeaten

__all__ = [
    "CAUTION", "COMPLAINTS", "FAULTS", "GLOSSARY", "LOOP", "MACHINES", "ROWS", "SYMBOLS", "TALL", "Advice", "Case",
    "Complaint", "Fault", "Note", "Session", "bench_machine", "built_stack", "calmest", "case", "chart",
    "chosen_machine", "complaints_of", "delivered", "felt", "first_choice", "gains", "gap_closes", "half_in_words",
    "in_words", "jobs", "jobs_text", "left_over", "lift_falls", "loop_ground", "loop_outcomes", "machine_choices",
    "meets_rim", "minutes", "notes_text", "over_whoops", "rebound_tables", "ridden", "ride_charts", "ride_trade_off",
    "rubbing", "school_machine", "set_machine", "unbeaten",
]  # fmt: skip
