"""The journal: the only code that touches the data file."""

from bench.journal.journal import Journal
from bench.journal.merging import FILE
from bench.journal.receipts import Conflict, Draft, Merged, Receipt
from bench.journal.trouble import Held, NotKept, Trouble, Unusable

__all__ = ["FILE", "Conflict", "Draft", "Held", "Journal", "Merged", "NotKept", "Receipt", "Trouble", "Unusable"]
