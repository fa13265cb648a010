"""What `make bench` prints: each figure beside a named baseline, measured in the same run."""
