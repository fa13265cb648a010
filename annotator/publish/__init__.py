"""What is passed on: chapter files, recordings with chapters, summaries."""
