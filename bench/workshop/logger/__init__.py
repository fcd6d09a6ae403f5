"""Readings from a logger's file: bytes to a table, the table's columns guessed, and the columns read as readings.

Nothing is guessed that has two readings: what is not sure is asked. A line that cannot be read is named, never dropped
in silence.
"""

from bench.workshop.logger.columns import Columns, guess
from bench.workshop.logger.readings import Log, read_log, spread_out
from bench.workshop.logger.table import Table, table

__all__ = ["Columns", "Log", "Table", "guess", "read_log", "spread_out", "table"]
