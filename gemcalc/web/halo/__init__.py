"""The fit page: a stone in, its halo out as somebody types."""
