"""Panels of oil and its ways."""
