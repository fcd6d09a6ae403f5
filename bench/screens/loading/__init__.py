"""Into the crucible, and onto a place in the furnace."""
