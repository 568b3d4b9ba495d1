"""What can be changed, as functions from a design to an edit."""
