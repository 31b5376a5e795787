"""What is known of a field: told facts as they stand, the others measured."""
