"""Today, the settings, and the gallery of all parts."""
