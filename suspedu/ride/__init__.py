"""The ride: terrain, a quarter vehicle over it, and what came of it. Takes a fork's force laws as tables."""
