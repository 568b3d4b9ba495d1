"""What several rules share when they judge."""
