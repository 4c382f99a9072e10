"""One file a command. Each has `add(commands)`, and `run(arguments)`, which returns an exit code."""
