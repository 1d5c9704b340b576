"""What each command of the command line does: a module per family, loaded when it is called, `run_…(arguments) -> exit code`."""
