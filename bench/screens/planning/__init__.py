"""Planning a batch: its lines, its heat and cooling, and what the sums say of it."""
