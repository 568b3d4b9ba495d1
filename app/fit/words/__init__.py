"""What findings say, and what to do about them, as a builder says it."""
