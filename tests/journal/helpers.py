"""A clock that a test moves by hand, and records to write."""

from tests.measure.hand import START_MS, HandClock, assay, open_journal, phone_record, ulid

__all__ = ["START_MS", "HandClock", "assay", "open_journal", "phone_record", "ulid"]
