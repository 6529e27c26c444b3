"""A test of a damper, read: from a table of time, stroke and force to curves, parameters and faults."""
