"""Thin Flask blueprints, one per bench verb."""
