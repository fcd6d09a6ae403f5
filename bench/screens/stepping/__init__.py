"""Steps that are declared and nothing more: one page serves them all."""
