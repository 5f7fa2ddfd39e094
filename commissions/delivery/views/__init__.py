"""Pages of the delivery room."""
