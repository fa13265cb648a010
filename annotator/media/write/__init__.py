"""Recordings that are written, all by FFmpeg: copies with chapters, clips, review copies."""
