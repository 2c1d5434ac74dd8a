"""Template filters of the filings."""
