"""The drill template at true size."""
