"""The journal: the only code that touches the data file."""

from bench.journal.journal import FILE, Journal
from bench.journal.receipts import Conflict, Draft, Merged, Receipt
from bench.journal.trouble import Held, NotKept, Trouble, Unusable

__all__ = ["FILE", "Conflict", "Draft", "Held", "Journal", "Merged", "NotKept", "Receipt", "Trouble", "Unusable"]
