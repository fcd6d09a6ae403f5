"""The records: their kinds, how they are read, and the state that they fold to. No file, no clock, no web."""
