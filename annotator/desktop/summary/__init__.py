"""The summary: how long and how often each step was, also by performer."""
