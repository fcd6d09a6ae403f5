"""What is known from outside: data files, their loader, and the Library that holds them."""

from bench.reference.cautions import NO_CARD, NO_CLASS
from bench.reference.library import Library
from bench.reference.loader import load_library
from bench.reference.own_rows import over
from bench.reference.provenance import BASES, basis_of, is_from_memory

__all__ = ["BASES", "NO_CARD", "NO_CLASS", "Library", "basis_of", "is_from_memory", "load_library", "over"]
