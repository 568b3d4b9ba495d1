"""Making room: looked for, worded, taken or left."""
