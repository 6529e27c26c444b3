"""Panels of dampers against each other, and of other shims."""
