"""What is kept about a client: shown, taken along, and erased."""
