"""Records that need a rate of tax: found beside those of the floor below (distillery.records)."""
