"""From the plan to the dry mixture: weighing, grinding, drying."""
