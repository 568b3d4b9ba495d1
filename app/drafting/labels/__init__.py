"""Words on a drawing, set where they cover nothing."""
