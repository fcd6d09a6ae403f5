"""Pure calculations on plain numbers: no file, no clock, no web."""
