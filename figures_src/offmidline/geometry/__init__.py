"""The geometry of the operation: pure functions and frozen dataclasses, in mm and degrees."""
