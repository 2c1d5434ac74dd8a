"""The screens of the plant."""
