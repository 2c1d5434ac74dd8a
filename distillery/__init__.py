"""What is done in the plant: settings, materials, operations, readings, floor screens."""
