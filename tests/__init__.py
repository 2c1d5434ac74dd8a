"""Checks of every floor, laid out like the floors."""
