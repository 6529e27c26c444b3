"""Panels of coil, air, sag and the whole fork."""
