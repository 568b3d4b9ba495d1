"""As built: what was drilled, typed in as it was measured."""
