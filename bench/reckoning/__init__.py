"""One file a kind of calculation: reads the ask, finds rows, calls science, adds the working."""
