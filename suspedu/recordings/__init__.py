"""A test of a damper, read: from a table of time, stroke and force to curves, parameters and faults."""

from suspedu.recordings.columns import columns_of
from suspedu.recordings.csv_file import read_recording, recording_from
from suspedu.recordings.fault_finding import FaultsWeighed, Hypothesis, faults_weighed
from suspedu.recordings.fault_kinds import FAULT_KINDS, HEALTHY, fault_kinds, spoilt
from suspedu.recordings.force_velocity import (
    ForceVelocity,
    Standing,
    damping_left,
    loop_opening,
    middle_curve,
    peak_curve,
    standing_forces,
    whole_loop,
)
from suspedu.recordings.identification import TOGETHER, Estimate, Identified, identified
from suspedu.recordings.marching import BenchMotion, predicted_force
from suspedu.recordings.on_the_bench import FAULT_NAMES, BenchCycle, bench_cycle, fault_size, windowed_velocity
from suspedu.recordings.recording import Recording
from suspedu.recordings.reduction import Pass, Reduced, cycle_starts, reduced, smoothed_motion
from suspedu.recordings.rig import Moving, Rig
from suspedu.recordings.samples import Schedule, Sensors, sample_recording, sine_recording, write_recording
from suspedu.recordings.soundness import sound
from suspedu.recordings.unknowns import UNKNOWNS, USUAL, searchable
from suspedu.school.smoothing import velocity_left, velocity_noise

__all__ = ["FAULT_KINDS", "FAULT_NAMES", "HEALTHY", "TOGETHER", "UNKNOWNS", "USUAL", "BenchCycle", "BenchMotion",
           "Estimate", "FaultsWeighed", "ForceVelocity", "Hypothesis", "Identified", "Moving", "Pass", "Recording",
           "Reduced", "Rig", "Schedule", "Sensors", "Standing", "bench_cycle", "columns_of", "cycle_starts",
           "damping_left", "fault_kinds", "fault_size", "faults_weighed", "identified", "loop_opening", "middle_curve",
           "peak_curve", "predicted_force", "read_recording", "recording_from", "reduced", "sample_recording",
           "searchable", "sine_recording", "smoothed_motion", "sound", "spoilt", "standing_forces", "velocity_left",
           "velocity_noise", "whole_loop", "windowed_velocity", "write_recording"]
