"""Model files: reading them within bounds, and telling whether they are closed."""
