"""A whole year of an invented plant, 2025 at Marram Point: its set-up, its records, its figures."""
