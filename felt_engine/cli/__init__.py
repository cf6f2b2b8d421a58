"""The command: one file a command, and one file that alone writes to a terminal."""
