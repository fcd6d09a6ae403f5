"""What several steps say of one thing when powders are compared."""

from bench.steps.fields import Compare
from bench.steps.wording import _

SIEVED = Compare(_("sieved through"), "least", 0.5, 0)
"""The finest mesh, whichever record told of it."""
