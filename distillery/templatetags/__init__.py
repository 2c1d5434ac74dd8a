"""Template filters of the plant."""
