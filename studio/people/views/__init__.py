"""Split by who comes in: staff and client."""
