"""The retrofit template: pieces laid on two old holes that stay, guide blocks, and the list."""
