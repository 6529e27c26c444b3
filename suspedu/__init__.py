"""Fork spring and damping physics under a course of interactive notebooks."""

__version__ = "0.1.0"
