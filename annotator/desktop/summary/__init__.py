"""The summary: how long and how often each step was, also by performer, with the same figures as the files."""
