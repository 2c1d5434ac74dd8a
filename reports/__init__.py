"""What is told to government and owner: form lines, reconciliation, tax, and their papers."""
