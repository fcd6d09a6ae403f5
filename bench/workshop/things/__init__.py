"""What each thing is now, worked out from its own records: one file a thing."""
