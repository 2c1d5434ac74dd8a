"""The trace as people ask for it: by any code, with suppliers, consignees and case numbers."""
