"""Dampers of several kinds ridden against each other, each tuned under its own limits."""
