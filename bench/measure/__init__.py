"""Measurements of what was promised: every figure beside its goal."""
