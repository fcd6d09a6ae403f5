"""Saggar: the bench companion for calcining mineral pigments."""
