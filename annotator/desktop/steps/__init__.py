"""The list of steps in the order of the operation."""
