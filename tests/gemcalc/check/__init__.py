"""The independent check of a halo, tried on layouts made by hand."""
