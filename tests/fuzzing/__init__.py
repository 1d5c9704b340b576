"""Hostile input: what is thrown at the question line, the importers and the knowledge files, and what must hold whatever it is."""
