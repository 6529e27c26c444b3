"""Forms of the lessons: own machine, which adjuster, notes."""
