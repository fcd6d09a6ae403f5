"""Jars and crucibles: what stands on the shelf, what it is, and what is left of it."""
