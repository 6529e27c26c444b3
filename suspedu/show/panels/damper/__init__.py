"""Panels of shims, valves and dampers."""
