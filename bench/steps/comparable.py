"""What several steps say of one thing when powders are compared."""

from bench.steps.fields import Compare

SIEVED = Compare("sieved through", "least", 0.5, 0)
"""The finest mesh, whichever record told of it."""
