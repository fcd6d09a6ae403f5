"""The only code that touches the data file."""
