"""The job: record types, folds, gates and lineage. No file, no clock, no web."""

from bench.workshop.records import BENCH, Record
from bench.workshop.state import Slot, State, fold, fold_all

__all__ = ["BENCH", "Record", "Slot", "State", "fold", "fold_all"]
