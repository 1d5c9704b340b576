"""What each screen shows, read from the nursery as plain values, and the same as lines of text: the app draws it, `nurserytui show` prints it."""
