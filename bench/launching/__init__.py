"""What the launcher does before the bench runs: standard library only, since nothing else is installed yet."""
