"""The furnace and its firings: planned, checked, lit, read, emptied, ended; and what is to be done now."""
