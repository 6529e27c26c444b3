"""Tolerances through the real damper, sampling plans, and what quality costs."""
