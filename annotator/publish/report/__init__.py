"""The step-duration summary, in each of its formats."""
