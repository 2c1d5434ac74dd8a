"""Papers of single entries: the gauge slip, the gauge record and the package gauge record.

What a paper says is made first, as plain text; ``pdf`` only sets it on pages.
"""
