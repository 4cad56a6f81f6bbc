"""Physics of small machines: pure functions and frozen dataclasses in plain SI numbers, one topic a file."""
