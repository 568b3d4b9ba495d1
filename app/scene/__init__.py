"""Drawing primitives in millimetres, y up, style already resolved."""
