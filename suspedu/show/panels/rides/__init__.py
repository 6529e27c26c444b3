"""Panels of grounds, rides and set-up."""
