"""What leaves the building: chapter files, recordings with chapters, summaries."""
