"""The parts of the bench: its controls, curves, bars, ride, and what it says."""
