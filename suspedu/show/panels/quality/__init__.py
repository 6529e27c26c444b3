"""Panels on tolerances, sampling plans and money."""
