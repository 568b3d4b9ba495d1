"""The fit report: findings, their groups, what was accepted, where it is tightest."""
