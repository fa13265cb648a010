"""The only room that imports av or cv2 or runs FFmpeg."""
