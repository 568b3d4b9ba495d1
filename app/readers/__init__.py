"""Files made by other programs, read as outlines of boards."""
